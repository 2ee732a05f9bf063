/* Who is here: a number and a password at a desk, a badge or a PIN on a shared device. */
import { useState } from "preact/hooks";
import { Refused, reached } from "../api/client";
import type { Problem } from "../api/types";
import { t } from "../base/words";
import { ProblemNote } from "../parts/read";
import { me, signIn, speak } from "../shell/session";
import { asProblem } from "../shell/told";
import { StepUp } from "./step_up";
import { Stops } from "./stops";

export function Languages() {
  return (
    <div class="languages">
      <button type="button" class="plain" lang="en" onClick={() => void speak("en")}>English</button>
      <button type="button" class="plain" lang="es" onClick={() => void speak("es")}>Español</button>
    </div>
  );
}

export function Hook() {
  return (
    <svg class="hook" viewBox="0 0 48 48" aria-hidden="true">
      <path d="M4 40h40" class="hook-soil" />
      <path d="M18 44V22a10 10 0 0 1 20 0v3a6 6 0 0 1-12 0v-2" class="hook-shoot" />
    </svg>
  );
}

function PasswordForm() {
  const [person, setPerson] = useState("");
  const [password, setPassword] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const [isBusy, setBusy] = useState(false);
  const submit = async (event: Event) => {
    event.preventDefault();
    setBusy(true);
    try {
      await signIn(Number(person), password);
    } catch (error) {
      setProblem(asProblem(error));
      if (error instanceof Refused && error.problem.status === 401) setPassword("");
    }
    setBusy(false);
  };
  return (
    <form class="form" onSubmit={(e) => void submit(e)}>
      <label class="field">
        <span class="field-label">{t("ui.sign-in.number")}</span>
        <input
          inputMode="numeric" pattern="[0-9]+" autocomplete="username" required autofocus value={person}
          onInput={(e) => setPerson(e.currentTarget.value)}
        />
      </label>
      <label class="field">
        <span class="field-label">{t("ui.sign-in.password")}</span>
        <input
          type="password" autocomplete="current-password" required value={password}
          aria-invalid={problem !== null} onInput={(e) => setPassword(e.currentTarget.value)}
        />
      </label>
      <ProblemNote problem={problem} />
      <div class="actions"><button type="submit" class="act" disabled={isBusy}>{t("ui.sign-in.do")}</button></div>
    </form>
  );
}

export function SignIn() {
  const station = me.value?.station ?? null;
  const [isPassword, setPassword] = useState(false);
  return (
    <div class={station ? "sign-in sign-in-station" : "sign-in"}>
      <header class="sign-in-head">
        <Hook />
        <h1>{station ?? "plumule"}</h1>
      </header>
      {station ? <Stops /> : null}
      {station && !isPassword ? <StepUp /> : <PasswordForm />}
      {reached.value || station ? null : <p>{t("ui.sign-in.offline")}</p>}
      {station ? (
        <button type="button" class="plain" onClick={() => setPassword(!isPassword)}>
          {t(isPassword ? "ui.sign-in.by-pin" : "ui.sign-in.by-password")}
        </button>
      ) : null}
      <Languages />
    </div>
  );
}
