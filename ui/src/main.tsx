import { render } from "preact";
import { startRoutes } from "./base/route";
import { t } from "./base/words";
import { App } from "./shell/app";
import { start, startIdle } from "./shell/session";
import { flushQueue, loadQueue } from "./shell/told";

async function begin(): Promise<void> {
  const root = document.getElementById("app");
  if (!root) return;
  startRoutes();
  try {
    await loadQueue();
    await start();
  } catch (error) {
    root.textContent = `${t("ui.fault.title")} ${error instanceof Error ? error.message : String(error)}`;
    return;
  }
  root.textContent = "";
  render(<App />, root);
  startIdle();
  addEventListener("online", () => void flushQueue());
  setInterval(() => void flushQueue(), 10000);
  if ("serviceWorker" in navigator) await navigator.serviceWorker.register("/sw.js").catch(() => {});
}

void begin();
