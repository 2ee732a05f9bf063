import { useEffect } from "preact/hooks";
import { place } from "../base/route";
import { t } from "../base/words";
import { AskDialog } from "../parts/ask";
import { Page } from "./page";
import { Banner } from "./banner";
import { Boundary } from "./boundary";
import { Bottom, Margin } from "./nav";
import { DayBand, Ribbon } from "./ribbon";
import { me, signOut } from "./session";
import { SignIn } from "../pages/sign_in";

function Who() {
  const now = me.value;
  if (!now || now.person === null) return null;
  return (
    <div class={now.station ? "who who-station" : "who"}>
      <a href="/me" class="who-name">{now.name ?? now.person}</a>
      <span class="who-role">{now.role ? t(`ui.role.${now.role}`) : ""}{now.station ? ` · ${now.station}` : ""}</span>
      {now.station ? <button type="button" onClick={() => void signOut()}>{t("ui.leave")}</button> : null}
    </div>
  );
}

export function App() {
  const path = place.value.path;
  const now = me.value;
  useEffect(() => {
    document.getElementById("main")?.focus({ preventScroll: true });
  }, [path]);
  if (!now) {
    return <p class="loading">{t("ui.loading")}</p>;
  }
  if (now.person === null) {
    return (
      <div class="alone">
        <Banner />
        <main id="main" tabIndex={-1}><Boundary at={path}><SignIn /></Boundary></main>
      </div>
    );
  }
  const isRecording = path === "/record" || path.startsWith("/record/");
  return (
    <div class={isRecording ? "frame frame-record" : "frame"}>
      <a class="skip" href="#main">{t("ui.skip")}</a>
      <header class="top">
        <Who />
        <Ribbon />
      </header>
      {isRecording ? null : <DayBand />}
      <Banner />
      <div class="middle">
        <Margin />
        <main id="main" tabIndex={-1}><Boundary at={path}><Page /></Boundary></main>
      </div>
      <Bottom />
      <AskDialog />
    </div>
  );
}
