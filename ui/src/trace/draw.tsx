/* The picture of a trace. Arrow keys walk along it; Enter opens a lot. */
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Trace } from "../api/types";
import { day, mass, number, percent } from "../base/format";
import { go, lotPath } from "../base/route";
import { t, tn } from "../base/words";
import { type Box, BOX_W, picture } from "./layout";

function nearest(boxes: Box[], from: Box, key: string): Box | undefined {
  const ahead = boxes.filter((b) =>
    key === "ArrowRight" ? b.column > from.column
      : key === "ArrowLeft" ? b.column < from.column
        : key === "ArrowDown" ? b.column === from.column && b.y > from.y
          : b.column === from.column && b.y < from.y);
  const far = (b: Box) => Math.abs(b.column - from.column) * 10000 + Math.abs(b.y - from.y);
  return ahead.sort((a, b) => far(a) - far(b))[0];
}

function label(box: Box, asked: string): string {
  const { lot } = box;
  return [
    [lot.lot, mass(lot.mg), lot.held ? t("ui.held") : ""].filter((x) => x !== "").join(" "),
    lot.lot === asked ? t("ui.trace.asked") : "", lot.item, day(lot.day),
    lot.share_ppm === null ? "" : t("ui.trace.share", { share: percent(lot.share_ppm) }),
  ].filter((x) => x !== "").join(", ");
}

export function Draw({ trace }: { trace: Trace }) {
  const code = trace.code ?? "";
  const p = useMemo(() => picture(trace), [trace]);
  const [at, setAt] = useState(code);
  const svg = useRef<SVGSVGElement>(null);
  const scroll = useRef<HTMLDivElement>(null);
  const start = p.boxes.some((b) => b.lot.lot === at) ? at : p.boxes[0]?.lot.lot ?? "";
  useEffect(() => {
    const box = p.boxes.find((b) => b.lot.lot === trace.code);
    if (box && scroll.current) scroll.current.scrollLeft = box.x - scroll.current.clientWidth / 2;
  }, [p, trace.code]);
  const key = (event: KeyboardEvent, box: Box) => {
    if (event.key === "Enter") {
      go(lotPath(box.lot.lot));
      return;
    }
    if (!event.key.startsWith("Arrow")) return;
    const next = nearest(p.boxes, box, event.key);
    if (!next) return;
    event.preventDefault();
    setAt(next.lot.lot);
    requestAnimationFrame(() => svg.current?.querySelector<SVGElement>('[tabindex="0"]')?.focus());
  };
  const endX = p.width - 200;
  return (
    <div class="trace-scroll" ref={scroll} role="region" aria-label={t("ui.trace.picture", { code })} tabIndex={0}>
      <svg
        ref={svg} class="trace-svg" width={p.width + 8} height={p.height + 8} viewBox={`-4 0 ${p.width + 8} ${p.height + 8}`}
        role="group" aria-label={t("ui.trace.picture", { code })}
      >
        {p.days.map((d) => <text key={d.x} x={d.x} y={18} class="trace-day">{day(d.day)}</text>)}
        {p.ribbons.map((r, i) => (
          <path key={i} d={r.path} class={`trace-ribbon trace-${r.basis}${r.from === at || r.to === at ? " trace-near" : ""}`} />
        ))}
        {p.boxes.map((b) => {
          const isAsked = b.lot.lot === trace.code;
          return (
            <g
              key={b.lot.lot} role="link" tabIndex={b.lot.lot === start ? 0 : -1} aria-label={label(b, code)}
              class={`trace-box${isAsked ? " trace-asked" : ""}${b.lot.held ? " trace-held" : ""}`}
              transform={`translate(${b.x} ${b.y})`}
              onKeyDown={(e) => key(e, b)} onFocus={() => setAt(b.lot.lot)} onClick={() => go(lotPath(b.lot.lot))}
            >
              <rect width={b.w} height={b.h} rx="3" />
              <text x={8} y={19} class="trace-code" textLength={b.lot.lot.length > 14 ? BOX_W - 14 : undefined} lengthAdjust="spacingAndGlyphs">{b.lot.lot}</text>{" "}
              {b.h >= 44 ? <text x={8} y={37} class="trace-mass">{mass(b.lot.mg)}</text> : null}{" "}
              {b.h >= 62 && b.lot.held ? <text x={8} y={54} class="trace-word">{t("ui.held")}</text> : null}
            </g>
          );
        })}
        {p.ends.length > 0 ? <path d={`M${endX - 24} 24V${p.height}`} class="trace-gate" /> : null}
        {p.ends.map((e) => (
          <g key={e.customer} transform={`translate(${endX} ${e.y})`} class="trace-end">
            <text x={0} y={18} class="trace-code">{e.name}</text>
            <text x={0} y={38} class="trace-mass">{tn("ui.pieces", e.pieces, { n: number(e.pieces) })} · {mass(e.mg)}</text>
          </g>
        ))}
        {p.ends.length > 0 ? <text x={endX} y={18} class="trace-day">{t("ui.trace.customers")}</text> : null}
      </svg>
    </div>
  );
}

