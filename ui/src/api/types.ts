/* What the server answers. The shapes come from its own description; the few lines below give names to
 * parts of them, and to what is not described there. */
import type { components } from "./document";

type Shapes = components["schemas"];

export type Problem = Shapes["Problem"];
export type Me = Shapes["Me"];
export type TodayLine = Shapes["TodayLine"];
export type Owed = Shapes["Owed"];
export type Health = Shapes["Health"];
export type Today = Shapes["Today"];
export type Day = Shapes["Day"];
export type Closed = Shapes["Closed"];
export type Chamber = Shapes["Chamber"];
export type ChamberDetail = Shapes["ChamberDetail"];
export type LotRow = Shapes["LotRow"];
export type Hold = Shapes["Hold"];
export type Clause = Shapes["Clause"];
export type StoryLine = Shapes["StoryLine"];
export type Lot = Shapes["Lot"];
export type Unit = Shapes["Unit"];
export type Found = Shapes["Found"];
export type TraceLot = Shapes["TraceLot"];
export type TraceStep = Shapes["TraceStep"];
export type TraceCustomer = Shapes["TraceCustomer"];
export type Trace = Shapes["Trace"];
export type Recall = Shapes["Recall"];
export type Why = Shapes["Why"];
export type EntryRow = Shapes["EntryRow"];
export type Entry = Shapes["Entry"];
export type FileReport = Shapes["FileReport"];
export type Mapping = Shapes["Mapping"];
export type Orders = Shapes["Orders"];
export type Dayline = Shapes["Dayline"];
export type OrderHistory = Shapes["OrderHistory"];
export type LotParts = Shapes["LotParts"];
export type Samples = Shapes["Samples"];
export type SampleOpen = Shapes["SampleOpen"];
export type SampleSecond = Shapes["SampleSecond"];
export type Person = Shapes["Person"];
export type Station = Shapes["Station"];
export type House = Shapes["House"];
export type Limits = Shapes["Limits"];
export type ReadBack = Shapes["ReadBack"];
export type BalanceLine = Shapes["Leg"];
export type Asked = Shapes["Asked"];
export type AskedRow = Shapes["AskedRow"];
export type Packing = Shapes["Packing"];
export type PackLine = Shapes["PackLine"];
export type LineCheck = Shapes["LineCheck"];
export type PackRun = Shapes["PackRun"];
export type PackedLot = Shapes["PackedLot"];
export type Keeping = Shapes["Keeping"];
export type ColdRoom = Shapes["ColdRoom"];
export type KeptLot = Shapes["KeptLot"];
export type Sweep = Shapes["SweepAnswer"];
export type Balance = Shapes["Balance"];
export type SafetyBoard = Shapes["SafetyBoard"];
export type Deviation = Shapes["Deviation"];
export type Schedule = Shapes["Schedule"];
export type Duty = Shapes["Duty"];
export type SwabSite = Shapes["SwabSite"];
export type Registers = Shapes["Registers"];
export type Inspection = Shapes["Inspection"];
export type Complaints = Shapes["Complaints"];
export type SampleCalendar = Shapes["SampleCalendar"];
export type SampleBatch = Shapes["SampleBatch"];
export type DrawnSample = Shapes["DrawnSample"];
export type Waters = Shapes["Waters"];
export type WaterPlace = Shapes["WaterPlace"];
export type WaterSeries = Shapes["WaterSeries"];
export type WaterLoop = Shapes["WaterLoop"];
export type WaterContact = Shapes["WaterContact"];
export type WaterBalance = Shapes["WaterBalance"];
export type Treatment = Shapes["Treatment"];
export type TreatmentCurve = Shapes["TreatmentCurve"];
export type Tone = TodayLine["tone"];
export type Go = TodayLine["go"];
export type Language = Me["language"];
export type ChamberState = Chamber["state"];
export type FormGroup = Shapes["Form"]["group"];

export interface FieldOf {
  lot_kind: string | null; /* comma lists of kinds */
  place_kind: string | null;
  instrument_kind: string | null;
  item_kind: string | null;
  partner_role: string | null;
  paper_kind: string | null;
  waits_for: string | null; /* of a sample: "result", "second-reading" */
}

export interface Field extends Omit<Shapes["Field"], "kind" | "of" | "only_with" | "choices" | "either"> {
  kind: string; /* of the questions in record/values.ts; what is not known there is a text */
  either: string[] | null; /* any of these may stand in its place */
  choices: { value: string; label: string }[] | null;
  of: FieldOf | null;
  only_with: { field: string; values: string[] } | null;
}

export interface Form extends Omit<Shapes["Form"], "fields"> {
  fields: Field[];
}

export interface PlanFor {
  order: string | null;
  standing?: string | null; /* the code of the standing order it is of */
  item: string;
  group: string;
  day: string;
}

export interface PlanStart {
  soak: string;
  harvest: string; /* the first */
  off_days: number; /* after the day it is ready, below 0 before */
  harvests: { day: string; g: number }[];
  chamber: string;
  item: string;
  seed_g: number;
  packed_g: number;
  seed: { lot: string; g: number; agreed: boolean }[]; /* agreed: the lot is a delivery not here yet */
  taken_before: boolean;
  for: (PlanFor & { g: number })[];
}

export interface PlanShort extends PlanFor {
  pieces: number;
  limit: string;
  forecast: boolean;
  sentence: string;
  gain: { pieces: number; g: number; sentence: string } | null;
  chance_percent?: number;
  chance_says?: string; /* why it is short in the plan and met in most futures */
  late_percent?: number; /* within the days it is taken late */
}

export interface PlanOrder extends PlanFor {
  pieces: number;
  met: number;
  rest: { pieces: number; day: string | null } | null;
  leaves: string; /* the day its last goods go */
  instead: { given: string; pieces: number; sentence: string }[]; /* what goes in place of the item */
  chance_percent?: number;
  chance_says?: string;
  late_percent?: number;
}

export interface PlanSums {
  wanted: number;
  met: number;
  booked: number;
  booked_met: number;
  short_orders: number;
  starts: number;
  seed_g: number;
  packed_g: number;
}

interface PlanPlace {
  day: string;
  harvest: string;
  chamber: string;
  seed_g: number;
  lot: string | null;
}

export interface PlanDifference {
  kept: number;
  filled: number;
  moved: number;
  gone: number;
  added: number;
  starts: { kind: "kept" | "filled" | "moved" | "gone" | "added"; item: string; before: PlanPlace | null; after: PlanPlace | null; sentence: string }[];
  lines: (PlanFor & { sentence: string })[];
  harvests: { lot: string; chamber: string; before: string; after: string; sentence: string }[]; /* lots that grow, harvested on another day */
}

type PlanCount = { used: number; limit: number } | null;
type PlanMass = { used_g: number; limit_g: number } | null;

export interface Plan {
  first_day: string;
  days: number;
  cost: number;
  bound?: number;
  solver_says: string | null;
  starts: PlanStart[];
  shorts: PlanShort[];
  orders: PlanOrder[];
  demand: { item: string; group: string; day: string; booked: number; standing: number; forecast_added: number; spread: number }[];
  supply: { day: string; item: string; pieces: number; stock: number; short: number }[];
  capacity: {
    day: string; chambers: PlanCount; starts: PlanCount; harvests: PlanCount; treat: PlanMass; soak: PlanMass; harvest: PlanMass; wash: PlanMass; pack: PlanMass;
    closed: Closed | null;
    works: { name: string; used_milli: number; limit_milli: number }[];
  }[];
  running: { lot: string; chamber: string; item: string; harvest: string; g: number; ready: string; off_days: number; sentence: string; reckoned: string; later_days: number }[]; /* sentence: "" on the day it is ready */
  out: { chamber: string; from: string; to: string | null }[];
  dropped: { sentence: string }[];
  purchase: { item: string; supplier: string | null; order_g: number; order_pieces: number; late_days: number; sentence: string }[]; /* pieces 0: by mass */
  agreed: { delivery: string; item: string; supplier: string; day: string; g: number; pieces: number; whole_g: number; whole_pieces: number; late: boolean; sentence: string }[];
  retests: { lot: string; sentence: string }[];
  rehearsed?: { item: string; sentence: string }[]; /* of a plan that was searched for */
  sums: PlanSums;
  before?: PlanSums;
  base?: Plan; /* of a trial: the plan without its changes */
  difference?: PlanDifference;
  chance?: Shapes["Plan"]["chance"];
}

export interface PlanChange {
  what: string;
  [field: string]: string | number;
}

/* Of a house that receives fruit. */
export type ReceivedPlan = Shapes["ReceivedPlan"];

export interface PlanJob extends Omit<Shapes["Job"], "plan" | "problem" | "changes"> {
  plan: Plan | null;
  problem: Problem | null;
  changes: PlanChange[];
}

export interface TakenPlan extends Omit<Shapes["PlanTaken"], "job" | "plan"> {
  plan: Plan | null;
  job: PlanJob | null;
}

export type PlanFloor = Shapes["PlanFloor"];

export interface Live {
  size: number;
  kinds: string[];
}

export interface Constant {
  name: string;
  value: number;
  low: number;
  high: number;
  unit: string;
  source: string;
  locator: string;
  word: string;
}

export interface CalcField {
  name: string;
  type: "number" | "integer" | "text" | "list" | "table";
  unit: string;
  what: string;
  needed: boolean;
  low?: number;
  high?: number;
  choices?: string[];
  choice_words?: string[];
  default?: unknown;
  count_low?: number;
  count_high?: number;
}

export interface CalcRow {
  name: string;
  discipline: string;
  purpose: string;
  formula: string;
  in: CalcField[];
  out: { name: string; unit: string; what: string; rounding?: string }[];
  constants: Constant[];
  sources: { source: string; word: string }[];
  cautions: string[];
  example: Record<string, unknown>;
}

export interface CalcAnswer {
  calculation: string;
  words: Record<string, string>; /* of the results that are texts */
  inputs: Record<string, unknown>;
  formula: string;
  results: Record<string, unknown>;
  cautions: string[];
  constants: Constant[];
}

export type Command = Record<string, unknown> & { kind: string };
export type Answer = Record<string, unknown>;
