/* Changing a person, or giving a badge: signed with one's own password. */
import { useState } from "preact/hooks";
import { refresh, send } from "../api/client";
import type { Person, Problem } from "../api/types";
import { t, word } from "../base/words";
import { Dialog } from "../parts/dialog";
import { ProblemNote } from "../parts/read";
import { useScan } from "../record/listen";
import { asProblem } from "../shell/told";

const ROLES = ["grower", "line", "quality", "planner", "intake", "hygiene", "dispatch", "maintenance", "manager", "auditor"];

function useSend(path: string, close: () => void) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const go = (body: object) => {
    send("POST", path, body).then(() => {
      refresh();
      close();
    }, (error: unknown) => setProblem(asProblem(error)));
  };
  return { problem, go };
}

export function PersonDialog({ person, close }: { person: Person | null; close: () => void }) {
  const [number, setNumber] = useState(person ? String(person.number) : "");
  const [name, setName] = useState(person?.name ?? "");
  const [contact, setContact] = useState("");
  const [role, setRole] = useState(person?.role ?? "grower");
  const [active, setActive] = useState(person?.active ?? true);
  const [password, setPassword] = useState("");
  const [by, setBy] = useState("");
  const { problem, go } = useSend("/people", close);
  const field = (label: string, name_: string, value: string, set: (v: string) => void, more: object = {}) => (
    <label class="field"><span class="field-label">{label}</span>
      <input value={value} aria-invalid={problem?.field === name_} onInput={(e) => set(e.currentTarget.value)} {...more} />
      {problem?.field === name_ ? <span class="field-wrong" role="alert">{problem.detail}</span> : null}
    </label>
  );
  const named = ["number", "name", "contact", "password", "by_password"];
  return (
    <Dialog title={person ? t("ui.people.change") : t("ui.people.new")} close={close}>
      <form
        class="form"
        onSubmit={(e) => {
          e.preventDefault();
          go({ number: Number(number), role, name, contact, password: password || null, active, by_password: by });
        }}
      >
        {field(t("ui.sign-in.number"), "number", number, setNumber, { inputMode: "numeric", required: true, readOnly: person !== null })}
        {field(t("ui.people.name"), "name", name, setName, { required: true })}
        {field(t("ui.people.contact"), "contact", contact, setContact)}
        <label class="field"><span class="field-label">{t("ui.role")}</span>
          <select value={role} onChange={(e) => setRole(e.currentTarget.value)}>{ROLES.map((r) => <option key={r} value={r}>{word("role", r)}</option>)}</select>
        </label>
        <label class="check"><input type="checkbox" checked={active} onChange={(e) => setActive(e.currentTarget.checked)} /><span>{t("ui.people.active")}</span></label>
        {field(t("ui.people.password"), "password", password, setPassword, { type: "password", autocomplete: "new-password" })}
        {field(t("ui.people.own-password"), "by_password", by, setBy, { type: "password", autocomplete: "current-password", required: true })}
        {problem && !named.includes(problem.field) ? <ProblemNote problem={problem} /> : null}
        <div class="actions"><button type="submit" class="act">{t("ui.people.sign")}</button><button type="button" onClick={close}>{t("ui.cancel")}</button></div>
      </form>
    </Dialog>
  );
}

export function BadgeDialog({ person, close }: { person: Person; close: () => void }) {
  const [badge, setBadge] = useState("");
  const [password, setPassword] = useState("");
  const { problem, go } = useSend(`/people/${person.number}/badge`, close);
  useScan((scan) => setBadge(scan.code));
  return (
    <Dialog title={t("ui.people.badge.do")} close={close}>
      <form
        class="form"
        onSubmit={(e) => {
          e.preventDefault();
          go({ badge, password });
        }}
      >
        <p>{t("ui.people.badge.lead", { name: person.name ?? person.number })}</p>
        <label class="field"><span class="field-label">{t("ui.people.badge.code")}</span><input required value={badge} autocomplete="off" onInput={(e) => setBadge(e.currentTarget.value)} /></label>
        <label class="field"><span class="field-label">{t("ui.people.own-password")}</span><input type="password" autocomplete="current-password" required value={password} onInput={(e) => setPassword(e.currentTarget.value)} /></label>
        <ProblemNote problem={problem} />
        <div class="actions"><button type="submit" class="act">{t("ui.people.sign")}</button><button type="button" onClick={close}>{t("ui.cancel")}</button></div>
      </form>
    </Dialog>
  );
}

/* Letting somebody in again, or taking away a name for good: both with one's own password. */
export function ProveDialog({ person, what, close }: { person: Person; what: "unlock" | "erase"; close: () => void }) {
  const [password, setPassword] = useState("");
  const [isSure, setSure] = useState(what === "unlock");
  const { problem, go } = useSend(`/people/${person.number}/${what}`, close);
  const name = person.name ?? String(person.number);
  return (
    <Dialog title={t(`ui.people.${what}`)} close={close}>
      <form
        class="form"
        onSubmit={(e) => {
          e.preventDefault();
          go({ password });
        }}
      >
        <p class="read-back">{t(`ui.people.${what}.lead`, { name })}</p>
        {what === "erase" ? (
          <label class="check"><input type="checkbox" checked={isSure} onChange={(e) => setSure(e.currentTarget.checked)} /><span>{t("ui.people.erase.sure")}</span></label>
        ) : null}
        <label class="field"><span class="field-label">{t("ui.people.own-password")}</span>
          <input type="password" autocomplete="current-password" required value={password} onInput={(e) => setPassword(e.currentTarget.value)} />
        </label>
        <ProblemNote problem={problem} />
        <div class="actions"><button type="submit" class={what === "erase" ? "act act-stop" : "act"} disabled={!isSure}>{t(`ui.people.${what}`)}</button><button type="button" onClick={close}>{t("ui.cancel")}</button></div>
      </form>
    </Dialog>
  );
}
