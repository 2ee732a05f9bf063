/* The native dialog, opened while it is on the page. Escape and the press beside it close it. */
import type { ComponentChildren } from "preact";
import { useEffect, useId, useRef } from "preact/hooks";
import { t } from "../base/words";

export function Dialog({ title, close, children, wide }: {
  title: string; close: () => void; children: ComponentChildren; wide?: boolean;
}) {
  const ref = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    const dialog = ref.current;
    const before = document.activeElement;
    dialog?.showModal();
    return () => {
      dialog?.close();
      if (before instanceof HTMLElement && before.isConnected) before.focus();
    };
  }, []);
  return (
    <dialog
      ref={ref}
      class={wide ? "dialog dialog-wide" : "dialog"}
      aria-labelledby={id}
      onCancel={(event) => {
        event.preventDefault();
        close();
      }}
      onClick={(event) => {
        if (event.target === ref.current) close();
      }}
    >
      <div class="dialog-in">
        <header class="dialog-head">
          <h2 id={id}>{title}</h2>
          <button type="button" class="plain" onClick={close}>{t("ui.close")}</button>
        </header>
        {children}
      </div>
    </dialog>
  );
}
