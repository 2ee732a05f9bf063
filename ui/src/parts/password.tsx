/* Signing always asks for one's own password, once per signature. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { refresh } from "../api/client";
import type { Answer, Command, Problem } from "../api/types";
import { uuid } from "../base/uuid";
import { t } from "../base/words";
import { me } from "../shell/session";
import { asProblem, sign } from "../shell/told";
import { Dialog } from "./dialog";
import { ProblemNote } from "./read";

/* isReady: what is filled in may be signed. */
export function SignDialog({ title, verb, commands, done, close, children, isReady = true }: {
  title: string; verb: string; commands: () => Command[]; done: (answers: Answer[]) => void;
  close: () => void; children?: ComponentChildren; isReady?: boolean;
}) {
  const [password, setPassword] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const [isBusy, setBusy] = useState(false);
  const [id] = useState(uuid);
  const submit = async (event: Event) => {
    event.preventDefault();
    const person = me.value?.person;
    if (person == null) return;
    setBusy(true);
    try {
      done(await sign(commands(), person, password, id));
      close();
    } catch (error) {
      const said = asProblem(error);
      setProblem(said);
      setBusy(false);
      if (said.code !== "password-wrong") refresh(); /* what the page shows may have been overtaken */
    }
  };
  const isPassword = problem?.code === "password-wrong" || problem?.field === "password";
  return (
    <Dialog title={title} close={close}>
      <form class="form" onSubmit={(e) => void submit(e)}>
        {children}
        {isPassword ? null : <ProblemNote problem={problem} />}
        <label class="field">
          <span class="field-label">{t("ui.sign.password", { name: me.value?.name ?? "" })}</span>
          <input
            type="password" autocomplete="current-password" required value={password}
            aria-invalid={isPassword} aria-describedby={isPassword ? "sign-wrong" : undefined}
            onInput={(e) => setPassword(e.currentTarget.value)}
          />
          {isPassword ? <span class="field-wrong" id="sign-wrong" role="alert">{problem?.detail}</span> : null}
        </label>
        <div class="actions">
          <button type="submit" class="act" disabled={isBusy || !isReady}>{verb}</button>
          <button type="button" onClick={close}>{t("ui.cancel")}</button>
        </div>
      </form>
    </Dialog>
  );
}
