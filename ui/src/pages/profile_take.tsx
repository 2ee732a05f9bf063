/* Proposing a profile: a file is chosen, tried and laid beside the one in force, then taken in with a signature.
 * What is signed is known by its digest. */
import { useState } from "preact/hooks";
import { BASE } from "../api/client";
import type { Command, Problem } from "../api/types";
import { differences, type Difference } from "../base/differ";
import { t } from "../base/words";
import { Dialog } from "../parts/dialog";
import { Mark, State } from "../parts/mark";
import { SignDialog } from "../parts/password";
import { ProblemNote } from "../parts/read";
import { TimeInput } from "../parts/time";
import { toldTime, wrongTime } from "../record/values";
import { me } from "../shell/session";
import { asProblem, tryOut } from "../shell/told";

interface Tried {
  command: Command;
  name: string;
  digest: string;
  changes: Difference[];
}

const TONES = { new: "done", other: "due", gone: "stopped" } as const;

function Changes({ changes }: { changes: Difference[] }) {
  if (changes.length === 0) return <p>{t("ui.profile.same")}</p>;
  return (
    <div class="wide-table" role="region" aria-label={t("ui.profile.changes")} tabIndex={0}>
      <table class="ledger">
        <thead><tr><th scope="col">{t("ui.profile.section")}</th><th scope="col">{t("ui.profile.entry")}</th><th scope="col">{t("ui.state")}</th></tr></thead>
        <tbody>
          {changes.map((c) => (
            <tr key={`${c.section} ${c.name} ${c.what}`}><td class="code">{c.section}</td><td class="code">{c.name || "–"}</td><td><State tone={TONES[c.what]} text={t(`ui.profile.is.${c.what}`)} /></td></tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/* The one in force, byte for byte. */
async function inForce(): Promise<Record<string, unknown>> {
  const answer = await fetch(`${BASE}/profile.json`, { credentials: "same-origin" });
  return (await answer.json()) as Record<string, unknown>;
}

export function ProfileDialog({ close }: { close: () => void }) {
  const [text, setText] = useState<string | null>(null);
  const [from, setFrom] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const [tried, setTried] = useState<Tried | null>(null);
  const wrongFrom = from === "" ? null : wrongTime(from);
  if (tried) {
    return (
      <SignDialog title={t("ui.profile.propose")} verb={t("ui.profile.sign")} close={close} done={() => {}} commands={() => [tried.command]}>
        <p class="read-back">{t("ui.profile.read", { name: tried.name })}<br /><span class="code small profile-digest">{tried.digest}</span></p>
        <Changes changes={tried.changes} />
        <p class="note note-due"><Mark tone="due" /><span>{t("ui.profile.caution")}</span></p>
      </SignDialog>
    );
  }
  const look = async (event: Event) => {
    event.preventDefault();
    if (text === null) return;
    const command: Command = { kind: "profile", text, ...(from !== "" ? { from: toldTime(from) } : {}) };
    try {
      const { answer } = await tryOut(command, me.value?.person ?? 0);
      const changes = differences(await inForce(), JSON.parse(text) as Record<string, unknown>);
      setTried({ command, name: String(answer["profile"] ?? ""), digest: String(answer["digest"] ?? ""), changes });
      setProblem(null);
    } catch (error) {
      setProblem(asProblem(error));
    }
  };
  return (
    <Dialog title={t("ui.profile.propose")} close={close}>
      <form class="form" onSubmit={(e) => void look(e)}>
        <p>{t("ui.profile.lead")}</p>
        <label class="field"><span class="field-label">{t("ui.profile.file")}</span>
          <input type="file" accept=".json,application/json" required onChange={(e) => void e.currentTarget.files?.[0]?.text().then((read) => { setText(read); setProblem(null); })} />
        </label>
        <div class="field"><label class="field-label" for="profile-from">{t("ui.limits.when")} <span class="small">{t("ui.calc.may")}</span></label>
          <TimeInput id="profile-from" text={from} wrong={wrongFrom} set={setFrom} />
          {wrongFrom ? <span class="field-wrong" role="alert">{wrongFrom}</span> : null}
        </div>
        <ProblemNote problem={problem} />
        <div class="actions">
          <button type="submit" class="act" disabled={text === null || wrongFrom !== null}>{t("ui.profile.look")}</button>
          <button type="button" onClick={close}>{t("ui.cancel")}</button>
        </div>
      </form>
    </Dialog>
  );
}
