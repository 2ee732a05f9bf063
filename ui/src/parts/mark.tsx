/* The four tones, each with a shape of its own: a seed that waits, a hook that wants light, a barred
 * bed, two open leaves. The word beside it is the trade's. */
import type { Tone } from "../api/types";
import { t } from "../base/words";

const SHAPES: Record<Tone, preact.JSX.Element> = {
  waiting: <ellipse cx="12" cy="12" rx="6.2" ry="9" transform="rotate(28 12 12)" class="mark-line" />,
  due: <path d="M7 22V11a5.5 5.5 0 0 1 11 0v1.5a3.2 3.2 0 0 1-6.4 0v-1" class="mark-stroke" />,
  stopped: <path d="M2 4h20v16H2zM2 9.4h20M2 14.6h20" class="mark-bars" />,
  done: (
    <path d="M12 22v-9M12 13C12 7 8 4 2.5 4 2.5 10 6 13 12 13zM12 13c0-6 4-9 9.5-9 0 6-3.500 9-9.500 9z" class="mark-leaf" />
  ),
};

export function Mark({ tone, big }: { tone: Tone; big?: boolean }) {
  return (
    <svg class={`mark mark-${tone}${big ? " mark-big" : ""}`} viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      {SHAPES[tone]}
    </svg>
  );
}

/* Shape and word together. */
export function State({ tone, text }: { tone: Tone; text?: string }) {
  return (
    <span class={`state state-${tone}`}>
      <Mark tone={tone} />
      <span>{text ?? t(`ui.tone.${tone}`)}</span>
    </span>
  );
}
