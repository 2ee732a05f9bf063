/* Every page but Today: what a first look does not need comes behind it, in a file of its own. */
import { t } from "../base/words";
import { Calc, CalcList } from "../pages/calc";
import { ChamberPage } from "../pages/chamber";
import { Chambers } from "../pages/chambers";
import { Daybook } from "../pages/daybook";
import { EntryPage } from "../pages/entry";
import { FilesIn } from "../pages/files_in";
import { Keeping } from "../pages/keeping";
import { LinesPage } from "../pages/lines";
import { LotPage } from "../pages/lot";
import { Lots } from "../pages/lots";
import { MePage } from "../pages/me";
import { OrdersPage } from "../pages/orders";
import { Packing } from "../pages/packing";
import { Papers } from "../pages/papers";
import { People } from "../pages/people";
import { PlanPage } from "../pages/plan";
import { FloorPage } from "../pages/plan_floor";
import { Recall } from "../pages/recall";
import { Safety } from "../pages/safety";
import { ComplaintsPage } from "../pages/complaints";
import { RegistersPage } from "../pages/registers";
import { Samples } from "../pages/samples";
import { SchedulePage } from "../pages/schedule";
import { TracePage } from "../pages/trace";
import { TreatmentPage } from "../pages/treatment";
import { UnitPage } from "../pages/unit";
import { WatersPage } from "../pages/waters";
import { Empty } from "../parts/read";
import { RecordForm } from "../record/form";
import { Steps } from "../record/steps";
import { More } from "./nav";

function Nowhere() {
  return <Empty title={t("ui.nowhere")}><p><a href="/">{t("ui.nowhere.do")}</a></p></Empty>;
}

function safety(which: string) {
  switch (which) {
    case "": return <Safety />;
    case "schedule": return <SchedulePage />;
    case "samples": return <Samples />;
    case "water": return <WatersPage />;
    case "registers": return <RegistersPage />;
    case "complaints": return <ComplaintsPage />;
    default: return null;
  }
}

function plan(which: string) {
  switch (which) {
    case "": return <PlanPage />;
    case "orders": return <OrdersPage />;
    case "day": return <LinesPage />;
    case "floor": return <FloorPage />;
    default: return <Nowhere />;
  }
}

export function Rest({ first, code }: { first: string; code: string }) {
  switch (first) {
    case "record": return code ? <RecordForm key={`${code}${location.search}`} kind={code} /> : <Steps />;
    case "plan": return plan(code);
    case "chambers": return code ? <ChamberPage key={code} code={code} /> : <Chambers />;
    case "lots": return code ? <LotPage key={code} code={code} /> : <Lots />;
    case "units": return <UnitPage code={code} />;
    case "safety": return safety(code) ?? <Nowhere />;
    case "treatments": return <TreatmentPage key={code} code={code} />;
    case "packing": return <Packing />;
    case "keeping": return <Keeping />;
    case "trace": return <TracePage />;
    case "recall": return <Recall code={code} />;
    case "papers": return code === "files" ? <FilesIn /> : <Papers />;
    case "work-it-out": return code ? <Calc key={code} name={code} /> : <CalcList />;
    case "daybook": return code ? <EntryPage key={code} seq={code} /> : <Daybook />;
    case "people": return <People />;
    case "me": return <MePage />;
    case "more": return <More />;
    default: return <Nowhere />;
  }
}
