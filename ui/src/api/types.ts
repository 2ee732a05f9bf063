/* What the server answers, by route. Names carry their units. */

export type Tone = "due" | "waiting" | "stopped" | "done";
export type Language = "en" | "es";

export interface Problem {
  type: string;
  title: string;
  status: number;
  detail: string;
  code: string;
  field: string | null;
  values: unknown;
  line: number | null;
  column: number | null;
}

export interface Me {
  person: number | null;
  name: string | null;
  role: string | null;
  how: "password" | "pin" | "badge" | null;
  station: string | null;
  idle_s: number;
  language: Language;
  may: string[];
  zone: string;
  plant_day: string;
  now_ms: number;
  size: number;
  shift: string | null;
}

export interface Go {
  page: "record" | "lot" | "review" | "hold" | "plan" | "daybook" | "chamber" | "trace" | "health";
  form: string | null;
  with: Record<string, string>;
}

export interface TodayLine {
  key: string;
  rank: number;
  tone: Tone;
  sentence: string;
  what: string;
  lot: string | null;
  place: string | null;
  by_ms: number | null;
  verb: string;
  go: Go;
}

export interface Owed {
  lot: string;
  unit: string;
  amount: number;
  entry: number;
  at_ms: number;
}

export interface Health {
  size: number;
  root: string;
  signed: { size: number; signed_ms: number } | null;
  backup: { at_ms: number | null; checked: boolean; place: string };
  disk_days: number | null;
}

export interface Today {
  day: string;
  lines: TodayLine[];
  review_count: number;
  owed: Owed[];
  handover: { text: string; by: string; at_ms: number; entry: number } | null;
  health: Health;
}

export interface Day {
  day: string;
  harvest: number;
  soak: number;
  ship_pieces: number;
  ship_mg: number;
  stopped: number;
  now: boolean;
}

export type ChamberState =
  | "empty" | "soaking" | "growing" | "ready" | "to-clean" | "out-of-service";

export interface Chamber {
  place: string;
  name: string;
  tone: Tone;
  state: ChamberState;
  lot: string | null;
  item: string | null;
  start_ms: number | null;
  age_h: number | null;
  ready_ms: number | null;
  seed_mg: number | null;
  expected_mg: number | null;
  expected_low_mg: number | null;
  expected_high_mg: number | null;
  share_left_ppm: number | null;
  temp_mc: number | null;
  temp_ms: number | null;
  holds: number;
}

export interface ChamberDetail extends Chamber {
  measured: { t_ms: number; temp_mc: number }[];
  predicted: { t_ms: number; heat_ch_low: number; heat_ch: number; heat_ch_high: number }[];
  limits: { name: string; temp_mc: number }[];
  waterings: { t_ms: number; litres: number }[];
  uses: { lot: string; item: string; start_ms: number; emptied_ms: number | null }[];
}

export interface LotRow {
  lot: string;
  item: string;
  kind: string;
  place: string | null;
  day: string;
  mg: number;
  pieces: number;
  state: "open" | "held" | "released" | "closed";
  tone: Tone;
  holds: number;
  best_before: string | null;
}

export interface Hold {
  hold: string;
  kind: string;
  stops: string[];
  needs: string | null;
  reason: string | null;
  placed_ms: number;
  by: string;
  lots: string[];
  units: number;
  lifted_ms: number | null;
}

export interface Clause {
  clause: string;
  title: string;
  lot: string;
  place: string | null;
  market: string | null;
  state: "met" | "unmet" | "not-applicable";
  sentence: string;
  entries: number[];
  way: string[];
}

export interface StoryLine {
  entry: number;
  at_ms: number;
  kind: string;
  title: string;
  sentence: string;
  by: string;
  lots: string[];
  place: string | null;
  mg: number | null;
  struck_by: number | null;
  deviations: string[];
  side: "into" | "own" | "from";
}

export interface BalanceLine {
  entry: number;
  kind: string;
  unit: string;
  amount: number;
  how: string;
  instrument: string | null;
  uncertainty: number;
}

export interface Lot {
  lot: string;
  item: string;
  kind: string;
  place: string | null;
  day: string;
  born_ms: number;
  best_before: string | null;
  markets: string[];
  mg: number;
  pieces: number;
  state: LotRow["state"];
  tone: Tone;
  supplier: string | null;
  supplier_lot: string | null;
  holds: Hold[];
  clauses: Clause[];
  unmet: number;
  may_release: boolean;
  releases: {
    entry: number; at_ms: number; by: string; markets: string[]; size: number;
    revoked: number | null;
  }[];
  story: StoryLine[];
  balance: BalanceLine[];
  units: { cases: number; here: number; shipped: number };
  dry: { in_mg: number | null; out_mg: number | null };
}

export interface Unit {
  code: string;
  kind: string;
  lot: string;
  pieces: number;
  mg: number;
  place: string | null;
  state: string;
  shipment: string | null;
  customer: string | null;
  holds: Hold[];
}

export interface Found {
  kind: "lot" | "unit" | "shipment" | "place" | "sample" | "person" | null;
  code: string;
}

export interface TraceLot {
  lot: string;
  item: string;
  kind: string;
  place: string | null;
  day: string;
  born_ms: number;
  mg: number;
  here_mg: number;
  here_pieces: number;
  share_ppm: number;
  certain: boolean;
  held: boolean;
}

export interface TraceStep {
  entry: number;
  kind: string;
  at_ms: number;
  place: string | null;
  parent: string;
  child: string;
  mg: number;
  basis: "measured" | "possible" | "unknown";
}

export interface TraceCustomer {
  customer: string;
  name: string | null;
  contact: string | null;
  pieces: number;
  mg: number;
  shipments: { shipment: string; at_ms: number; pieces: number; mg: number }[];
}

export interface Trace {
  code: string;
  direction: "back" | "forward";
  lots: TraceLot[];
  steps: TraceStep[];
  customers: TraceCustomer[];
  account: {
    produced_mg: number; accounted_mg: number; accounted_ppm: number; owed_mg: number;
  };
  held_lots: number;
  here_mg: number;
  left_mg: number;
  left_pieces: number;
  unknown_ppm: number;
}

export interface Recall extends Trace {
  left: {
    unit: string; lot: string; customer: string; shipment: string; at_ms: number;
    pieces: number; contact: string | null;
  }[];
  here: {
    lot: string; unit: string | null; place: string | null; pieces: number; mg: number;
    held: boolean;
  }[];
}

export interface Why {
  steps: { parent: string; child: string; entry: number; mg: number }[];
}

export interface EntryRow {
  entry: number;
  at_ms: number;
  recorded_ms: number;
  day: string;
  kind: string;
  title: string;
  sentence: string;
  by: string;
  name: string | null;
  lots: string[];
  place: string | null;
  struck_by: number | null;
  strikes: number | null;
}

export interface Head {
  size: number;
  root: string;
  signed_ms: number;
  public_key: string;
  signature: string;
}

export interface Entry extends EntryRow {
  offset_min: number;
  device: string;
  clock_ms: number;
  version: number;
  uuid: string;
  cause: number | null;
  caused: number[];
  told: Record<string, unknown>;
  answer: Record<string, unknown>;
  effects: number;
  leaf: string;
  proof: { index: number; size: number; root: string; path: string[]; head: Head | null };
  correctable: boolean;
}

export interface House {
  places: { code: string; name: string; kind: string; parent: string | null; in_service: boolean }[];
  instruments: { code: string; kind: string; place: string | null; due_ms: number }[];
  items: {
    code: string; name: string; kind: string; family: string; net_mg: number;
    pieces_per_case: number; source_item: string | null;
  }[];
  partners: { code: string; role: string; market: string | null }[];
  markets: string[];
}

export type FieldKind =
  | "lot" | "lots" | "unit" | "place" | "instrument" | "item" | "partner" | "mass" | "pieces"
  | "percent" | "number" | "temp" | "volume" | "duration" | "time" | "day" | "choice" | "text"
  | "yes-no" | "inputs" | "outputs" | "person" | "sample";

export interface Field {
  name: string;
  label: string;
  kind: FieldKind;
  required: boolean;
  choices: { value: string; label: string }[] | null;
  of: {
    lot_kind: string | null; place_kind: string | null; instrument_kind: string | null;
    item_kind: string | null;
  };
  unit: string | null;
  help: string | null;
  default: string | null;
  only_with: { field: string; values: string[] } | null;
}

export type FormGroup =
  | "seed" | "grow" | "harvest" | "line" | "check" | "clean" | "store" | "ship" | "evidence"
  | "house";

export interface Form {
  kind: string;
  act: string;
  title: string;
  mode: "ask" | "tell";
  roles: string[];
  reviewed: boolean;
  moves_mass: boolean;
  confirm: boolean;
  signs: boolean;
  group: FormGroup;
  fields: Field[];
}

export interface PlanStart {
  soak: string;
  harvest: string;
  chamber: string;
  item: string;
  seed_g: number;
  packed_g: number;
  seed: { lot: string; g: number }[];
  taken_before: boolean;
}

export interface PlanShort {
  order: string | null;
  item: string;
  group: string;
  day: string;
  pieces: number;
  limit: string;
  forecast: boolean;
  sentence: string;
}

export interface Plan {
  first_day: string;
  days: number;
  starts: PlanStart[];
  shorts: PlanShort[];
  demand: {
    item: string; group: string; day: string; booked: number; forecast_added: number;
    spread: number;
  }[];
  cost: number;
  by_solver: boolean;
  solver: string;
  bound?: number;
  gap?: number;
  supply: { day: string; item: string; pieces: number; stock: number; short: number }[];
}

export interface Job {
  id: string;
  state: "working" | "done" | "failed" | "stopped";
  share_ppm: number;
}

export interface PlanJob extends Job {
  plan: Plan | null;
  problem: Problem | null;
}

export interface TakenPlan {
  taken: {
    day: string; place: string; item: string; seed_lot: string | null; seed_mg: number;
    grow_days: number;
  }[];
  job: Job | null;
}

export interface Balance {
  steps: {
    step: string; entries: number; in_mg: number; out_mg: number; tolerance_ppm: number | null;
  }[];
  accounts: { account: string; unit: string; amount: number }[];
  owed: Owed[];
}

export interface Limits {
  profile: { name: string; digest: string; from_ms: number };
  limits: {
    name: string; low: string | null; high: string | null; unit: string; source: string;
    word: string; changed_by: string | null; from_ms: number | null; reason: string | null;
  }[];
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
  sources: { text: string; word: string }[];
  cautions: string[];
  example: Record<string, unknown>;
}

export interface CalcAnswer {
  calculation: string;
  inputs: Record<string, unknown>;
  formula: string;
  results: Record<string, unknown>;
  cautions: string[];
  constants: Constant[];
}

export interface Person {
  number: number;
  role: string;
  name: string | null;
  active: boolean;
  has_pin: boolean;
  has_badge: boolean;
  locked: boolean;
}

export interface Station {
  code: string;
  place: string | null;
  enrolled_ms: number;
  by: string;
  last_ms: number | null;
}

export interface Live {
  size: number;
  kinds: string[];
}

export type Command = Record<string, unknown> & { kind: string };
export type Answer = Record<string, unknown>;
