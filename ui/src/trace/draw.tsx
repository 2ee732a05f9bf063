/* The picture of a trace. Arrow keys walk along it; Enter opens a lot. */
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Trace } from "../api/types";
import { day, mass, number, percent } from "../base/format";
import { go, lotPath } from "../base/route";
import { t, tn } from "../base/words";
import { groupCount, grouped, isGroup } from "./group";
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

/* Lots alike stand as one box with their number. */
function nameOf(box: Box): string {
  return isGroup(box.lot.lot) ? t("ui.trace.group", { n: number(groupCount(box.lot.lot)), item: box.lot.item }) : box.lot.lot;
}

function label(box: Box, asked: string): string {
  const { lot } = box;
  return [
    [nameOf(box), mass(lot.mg), lot.held ? t("ui.held") : ""].filter((x) => x !== "").join(" "),
    lot.lot === asked ? t("ui.trace.asked") : "", lot.item, day(lot.day),
    lot.share_ppm === null ? "" : t("ui.trace.share", { share: percent(lot.share_ppm) }),
  ].filter((x) => x !== "").join(", ");
}

const NEAREST = 2;
const STEP = 1.3;

/* The picture fits the width it has until somebody looks closer. */
function useZoom(width: number) {
  const box = useRef<HTMLDivElement>(null);
  const [room, setRoom] = useState(0);
  const [zoom, setZoom] = useState<number | null>(null);
  useEffect(() => {
    const at = box.current;
    if (!at) return undefined;
    const look = new ResizeObserver(() => setRoom(at.clientWidth));
    look.observe(at);
    return () => look.disconnect();
  }, []);
  const fit = room > 0 ? Math.min(1, room / width) : 1;
  const scale = zoom ?? fit;
  const to = (next: number | null) => setZoom(next === null || next <= fit ? null : Math.min(NEAREST, next));
  return { box, scale, isFit: zoom === null, isNearest: scale >= NEAREST, closer: () => to(scale * STEP), wider: () => to(scale / STEP), whole: () => to(null) };
}

export function Draw({ trace: whole }: { trace: Trace }) {
  const code = whole.code ?? "";
  const [apart, setApart] = useState<string[]>([]);
  const trace = useMemo(() => grouped(whole, apart), [whole, apart]);
  const p = useMemo(() => picture(trace), [trace]);
  const z = useZoom(p.width + 8);
  const [at, setAt] = useState(code);
  const svg = useRef<SVGSVGElement>(null);
  const scroll = z.box;
  const start = p.boxes.some((b) => b.lot.lot === at) ? at : p.boxes[0]?.lot.lot ?? "";
  useEffect(() => {
    const box = p.boxes.find((b) => b.lot.lot === trace.code);
    if (box && scroll.current) scroll.current.scrollLeft = box.x * z.scale - scroll.current.clientWidth / 2;
  }, [p, trace.code, z.scale]);
  const open = (lot: string) => {
    if (isGroup(lot)) setApart([...apart, lot]);
    else go(lotPath(lot));
  };
  const key = (event: KeyboardEvent, box: Box) => {
    if (event.key === "Enter") {
      open(box.lot.lot);
      return;
    }
    if (zoomKey(event)) return;
    if (!event.key.startsWith("Arrow")) return;
    const next = nearest(p.boxes, box, event.key);
    if (!next) return;
    event.preventDefault();
    setAt(next.lot.lot);
    requestAnimationFrame(() => svg.current?.querySelector<SVGElement>('[tabindex="0"]')?.focus());
  };
  const zoomKey = (event: KeyboardEvent) => {
    const act = { "+": z.closer, "=": z.closer, "-": z.wider, "0": z.whole }[event.key];
    if (!act || event.ctrlKey || event.metaKey) return false;
    event.preventDefault();
    event.stopPropagation();
    act();
    return true;
  };
  const endX = p.width - 200;
  return (
    <>
    <div class="actions no-print" role="group" aria-label={t("ui.trace.zoom")}>
      <button type="button" aria-label={t("ui.trace.closer")} disabled={z.isNearest} onClick={z.closer}>+</button>
      <button type="button" aria-label={t("ui.trace.wider")} disabled={z.isFit} onClick={z.wider}>−</button>
      <button type="button" aria-pressed={z.isFit} onClick={z.whole}>{t("ui.trace.fit")}</button>
      {apart.length > 0 ? <button type="button" onClick={() => setApart([])}>{t("ui.trace.together")}</button> : null}
    </div>
    <div class="trace-scroll" onKeyDown={zoomKey} ref={scroll} role="region" aria-label={t("ui.trace.picture", { code })} tabIndex={0}>
      <svg
        ref={svg} class="trace-svg" width={(p.width + 8) * z.scale} height={(p.height + 8) * z.scale} viewBox={`-4 0 ${p.width + 8} ${p.height + 8}`}
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
              key={b.lot.lot} role={isGroup(b.lot.lot) ? "button" : "link"} tabindex={b.lot.lot === start ? 0 : -1} aria-label={label(b, code)}
              class={`trace-box${isAsked ? " trace-asked" : ""}${b.lot.held ? " trace-held" : ""}`}
              transform={`translate(${b.x} ${b.y})`}
              onKeyDown={(e) => key(e, b)} onFocus={() => setAt(b.lot.lot)} onClick={() => open(b.lot.lot)}
            >
              <rect width={b.w} height={b.h} rx="3" />
              <text x={8} y={19} class="trace-code" textLength={nameOf(b).length > 14 ? BOX_W - 14 : undefined} lengthAdjust="spacingAndGlyphs">{nameOf(b)}</text>{" "}
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
    </>
  );
}

