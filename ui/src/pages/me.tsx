/* One's own page: language, PIN, leaving. */
import { useState } from "preact/hooks";
import { send } from "../api/client";
import type { Problem } from "../api/types";
import { t } from "../base/words";
import { ProblemNote } from "../parts/read";
import { me, signOut, speak } from "../shell/session";
import { asProblem } from "../shell/told";

function PinForm({ person }: { person: number }) {
  const [pin, setPin] = useState("");
  const [password, setPassword] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const [isDone, setDone] = useState(false);
  const submit = async (event: Event) => {
    event.preventDefault();
    try {
      await send("POST", `/people/${person}/pin`, { pin, password });
      setDone(true);
      setProblem(null);
      setPin("");
      setPassword("");
    } catch (error) {
      setProblem(asProblem(error));
    }
  };
  return (
    <form class="form" onSubmit={(e) => void submit(e)}>
      <h2>{t("ui.me.pin")}</h2>
      <label class="field"><span class="field-label">{t("ui.me.pin.new")}</span>
        <input type="password" inputMode="numeric" pattern="[0-9]{4,12}" required autocomplete="off" value={pin} onInput={(e) => setPin(e.currentTarget.value)} />
      </label>
      <label class="field"><span class="field-label">{t("ui.sign-in.password")}</span>
        <input type="password" autocomplete="current-password" required value={password} onInput={(e) => setPassword(e.currentTarget.value)} />
      </label>
      <ProblemNote problem={problem} />
      {isDone ? <p role="status">{t("ui.me.pin.done")}</p> : null}
      <div class="actions"><button type="submit" class="act">{t("ui.me.pin.do")}</button></div>
    </form>
  );
}

export function MePage() {
  const now = me.value;
  if (!now || now.person === null) return null;
  return (
    <article>
      <header class="page-head"><h1>{now.name ?? now.person}</h1></header>
      <dl class="pairs">
        <dt>{t("ui.sign-in.number")}</dt><dd class="code">{now.person}</dd>
        <dt>{t("ui.role")}</dt><dd>{now.role ? t(`ui.role.${now.role}`) : "–"}</dd>
        {now.station ? <><dt>{t("ui.station")}</dt><dd>{now.station}</dd></> : null}
      </dl>
      <section>
        <h2>{t("ui.me.language")}</h2>
        <div class="choices" role="group" aria-label={t("ui.me.language")}>
          <button type="button" lang="en" aria-pressed={now.language === "en"} onClick={() => void speak("en")}>English</button>
          <button type="button" lang="es" aria-pressed={now.language === "es"} onClick={() => void speak("es")}>Español</button>
        </div>
      </section>
      <PinForm person={now.person} />
      <div class="actions"><button type="button" onClick={() => void signOut()}>{t("ui.leave")}</button></div>
    </article>
  );
}
