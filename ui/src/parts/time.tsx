/* A time as the house's clock shows it. Where clocks change it says so, and asks which of two is meant. */
import { now } from "../base/clock";
import { zone } from "../base/format";
import { t } from "../base/words";
import { clockPart, offsetMin, offsetText, readLocal } from "../base/zoned";

export interface TimeProps {
  id?: string;
  text: string;
  wrong?: string | null;
  needed?: boolean;
  describedBy?: string;
  set: (text: string) => void;
  focus?: () => void;
}

/* Which clock is meant, where the device's own shows another time. */
function Whose({ ms }: { ms: number }) {
  const house = offsetMin(ms, zone.value);
  if (house === -new Date(ms).getTimezoneOffset()) return null;
  return <span class="small">{t("ui.time.house", { zone: zone.value, offset: offsetText(house) })}</span>;
}

function Which({ text, ms, set, focus }: TimeProps & { ms: [number, number] }) {
  const clock = clockPart(text);
  return (
    <span class="choices" role="group" aria-label={t("ui.time.which")}>
      {ms.map((at, i) => {
        const meant = clock + offsetText(offsetMin(at, zone.value));
        return (
          <button type="button" key={at} aria-pressed={text === meant} onFocus={focus} onClick={() => set(meant)}>
            {t(i === 0 ? "ui.time.first" : "ui.time.second", { offset: offsetText(offsetMin(at, zone.value)) })}
          </button>
        );
      })}
    </span>
  );
}

export function TimeInput(props: TimeProps) {
  const { id, text, wrong, needed, describedBy, set, focus } = props;
  const plain = clockPart(text);
  const local = readLocal(plain, zone.value);
  return (
    <span class="time-in">
      <input
        id={id} type="datetime-local" step={1} value={plain} required={needed} aria-invalid={wrong != null} aria-describedby={describedBy}
        onFocus={focus} onInput={(e) => set(e.currentTarget.value)}
      />
      {local.kind === "twice" ? <Which {...props} ms={local.ms} /> : null}
      {local.kind === "twice" && wrong == null ? <span class="small" role="status">{t("ui.time.twice", { zone: zone.value })}</span> : null}
      {local.kind === "none" && wrong == null ? (
        <span class="field-wrong" role="status">{t("ui.time.none", { from: local.from, to: local.to, zone: zone.value })}</span>
      ) : null}
      <Whose ms={local.kind === "one" ? local.ms : local.kind === "twice" ? local.ms[0] : now()} />
    </span>
  );
}
