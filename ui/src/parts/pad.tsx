/* A number pad of our own: large keys for gloves; the device's keyboard stays closed. */
import { t } from "../base/words";

export function Pad({ press, decimal, label }: { press: (key: string) => void; decimal?: boolean; label: string }) {
  const keys = ["1", "2", "3", "4", "5", "6", "7", "8", "9", decimal ? "." : "", "0", "back"];
  return (
    <div class="pad" role="group" aria-label={label}>
      {keys.map((key) => key === "" ? <span key="none" /> : (
        <button
          type="button" key={key} class={key === "back" ? "pad-key pad-back" : "pad-key"}
          aria-label={key === "back" ? t("ui.pad.back") : undefined}
          onClick={() => press(key)}
        >
          {key === "back" ? (
            <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M9 5h12v14H9L2 12zM12.500 9.500l5 5M17.500 9.500l-5 5" /></svg>
          ) : key}
        </button>
      ))}
    </div>
  );
}

/* The text after a press of a key of the pad. */
export function padded(text: string, key: string): string {
  if (key === "back") return text.slice(0, -1);
  if (key === "." && text.includes(".")) return text;
  if (key === "." && text === "") return "0.";
  return text + key;
}
