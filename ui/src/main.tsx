import { render } from "preact";
import { startRoutes } from "./base/route";
import { t } from "./base/words";
import { App } from "./shell/app";
import { loadPages } from "./shell/page";
import { start, startIdle } from "./shell/session";
import { flushQueue, loadQueue } from "./shell/told";

async function begin(): Promise<void> {
  const root = document.getElementById("app");
  if (!root) return;
  startRoutes();
  if (location.pathname !== "/") void loadPages(); /* beside who is here, and the words */
  try {
    await Promise.all([loadQueue(), start()]);
  } catch (error) {
    root.textContent = `${t("ui.fault.title")} ${error instanceof Error ? error.message : String(error)}`;
    return;
  }
  root.textContent = "";
  render(<App />, root);
  void loadPages();
  void flushQueue(); /* it may have been read after who is here was known */
  startIdle();
  addEventListener("online", () => void flushQueue());
  setInterval(() => void flushQueue(), 10000);
  if ("serviceWorker" in navigator) await navigator.serviceWorker.register("/sw.js").catch(() => {});
}

void begin();
