/* The sentence read back. What moves mass or lifts a hold is pressed twice, at two different places:
 * drops of water don't record. */
import { useEffect, useState } from "preact/hooks";
import { Refused } from "../api/client";
import type { Answer, Command, Form, Problem, ReadBack } from "../api/types";
import { t } from "../base/words";
import { Mark } from "../parts/mark";
import { Said } from "../parts/said";
import { SignDialog } from "../parts/password";
import { me } from "../shell/session";
import { asProblem, tell, tryOut } from "../shell/told";

const ARMED_MS = 12000;

export function Confirm({ form, command, sentence, id, back, done }: {
  form: Form; command: Command; sentence: string; id: string;
  back: (refused: Problem | null) => void; done: (answer: Answer | null, sentence: string) => void;
}) {
  const [said, setSaid] = useState<ReadBack | null>(null);
  const [isArmed, setArmed] = useState(false);
  const [isSigning, setSigning] = useState(false);
  const [isBusy, setBusy] = useState(false);
  const person = me.value?.person ?? 0;
  const twice = form.moves_mass || form.confirm;
  const read = said?.sentence ?? sentence;

  useEffect(() => {
    tryOut(command, person).then(
      ({ read: r }) => setSaid(r),
      (error: unknown) => {
        /* What the record would refuse is said before it is sent; without the server it is read back from here. */
        if (error instanceof Refused && error.problem.status !== 401) back(asProblem(error));
      });
  }, []);
  useEffect(() => {
    if (!isArmed) return undefined;
    const timer = setTimeout(() => setArmed(false), ARMED_MS);
    return () => clearTimeout(timer);
  }, [isArmed]);

  const send = async () => {
    if (form.signs) {
      setSigning(true);
      return;
    }
    setBusy(true);
    const sent = await tell(command, person, read, id);
    if (sent.kind === "refused") back(sent.problem);
    else done(sent.kind === "taken" ? sent.answer : null, read);
  };
  return (
    <div class="confirm">
      {twice ? (
        <div class="confirm-second">
          {isArmed ? <button type="button" class="act" disabled={isBusy} onClick={() => void send()}>{t("ui.record.now")}</button> : null}
        </div>
      ) : null}
      <p class="confirm-sentence" role="status"><Said text={read} /></p>
      {(said?.warnings ?? []).map((d) => <p key={d} class="note note-due"><Mark tone="due" /><span>{d}</span></p>)}
      <div class="record-acts">
        <button type="button" onClick={() => back(null)}>{t("ui.record.change")}</button>
        {twice ? (
          <button type="button" class={isArmed ? "" : "act"} aria-pressed={isArmed} onClick={() => setArmed(!isArmed)}>
            {t(isArmed ? "ui.record.press-above" : "ui.record.right")}
          </button>
        ) : <button type="button" class="act" disabled={isBusy} onClick={() => void send()}>{t("ui.record.now")}</button>}
      </div>
      {isSigning ? (
        <SignDialog
          title={form.title} verb={t("ui.record.sign")} commands={() => [command]} close={() => setSigning(false)}
          done={(answers) => done(answers[0] ?? {}, read)}
        >
          <p class="read-back">{read}</p>
        </SignDialog>
      ) : null}
    </div>
  );
}
