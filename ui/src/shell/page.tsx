/* Which page an address means. */
import { signal } from "@preact/signals";
import { place } from "../base/route";
import { t } from "../base/words";
import { TodayPage } from "../pages/today";

type Pages = typeof import("./rest");

const pages = signal<Pages | null>(null);
const fault = signal<Error | null>(null);
let asked: Promise<void> | null = null;

/* Once; after a fault it is tried again when it is needed. */
export function loadPages(): Promise<void> {
  asked ??= import("./rest").then((came) => {
    fault.value = null;
    pages.value = came;
  }).catch((error: unknown) => {
    asked = null;
    fault.value = error instanceof Error ? error : new Error(String(error));
  });
  return asked;
}

function Others({ first, code }: { first: string; code: string }) {
  const came = pages.value;
  if (came) return <came.Rest first={first} code={code} />;
  if (fault.value) throw fault.value;
  void loadPages();
  return <p class="loading">{t("ui.loading")}</p>;
}

export function Page() {
  const [, first = "", rest] = place.value.path.split("/");
  const code = rest ? decodeURIComponent(rest) : "";
  return first === "" ? <TodayPage /> : <Others first={first} code={code} />;
}
