/* Listens for a scanner on the whole page. The keys of a scan are taken back from the field they fell
 * into; what was typed there before stays. */
import { useLayoutEffect, useRef } from "preact/hooks";
import { type Scan, ScanGatherer } from "../base/scan";

type Typed = HTMLInputElement | HTMLTextAreaElement;

function typedInto(target: EventTarget | null): Typed | null {
  return target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement ? target : null;
}

/* Sets a value as if it had been typed, so that the page's own state follows. */
function putBack(field: Typed, value: string): void {
  field.value = value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

export function useScan(found: (scan: Scan) => void): void {
  const latest = useRef(found);
  latest.current = found;
  /* With the page, not after it is painted: a badge may be at the scanner already. */
  useLayoutEffect(() => {
    const gatherer = new ScanGatherer();
    let before: { field: Typed; value: string } | null = null;
    const key = (event: KeyboardEvent) => {
      if (event.repeat || event.ctrlKey || event.altKey || event.metaKey) return;
      const { scan, begins } = gatherer.push(event.key, event.timeStamp);
      if (begins) {
        const field = typedInto(event.target);
        before = field ? { field, value: field.value } : null;
      }
      if (!scan) return;
      event.preventDefault();
      event.stopPropagation();
      if (before) putBack(before.field, before.value);
      latest.current(scan);
    };
    addEventListener("keydown", key, true);
    return () => removeEventListener("keydown", key, true);
  }, []);
}
