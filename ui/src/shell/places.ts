/* The places of the house, and which of them stand at the bottom of a phone for whom. */
export interface Where {
  key: string;
  path: string;
  may?: string; /* needs at least one action that begins so */
  grows?: true; /* of a house with chambers: one that receives fruit has nothing there */
}

export const PLACES: Where[] = [
  { key: "today", path: "/" },
  { key: "record", path: "/record", may: "record:" },
  { key: "plan", path: "/plan" },
  { key: "lines", path: "/plan/day", grows: true },
  { key: "chambers", path: "/chambers", grows: true },
  { key: "lots", path: "/lots" },
  { key: "safety", path: "/safety" },
  { key: "packing", path: "/packing" },
  { key: "keeping", path: "/keeping" },
  { key: "trace", path: "/trace" },
  { key: "papers", path: "/papers" },
  { key: "calc", path: "/work-it-out" },
  { key: "daybook", path: "/daybook" },
  { key: "people", path: "/people" },
];

const BOTTOM: Record<string, string[]> = {
  grower: ["today", "record", "chambers", "lots"],
  line: ["today", "record", "packing", "lots"],
  quality: ["today", "lots", "safety", "record"],
  planner: ["today", "plan", "chambers", "lots"],
  dispatch: ["today", "record", "keeping", "lots"],
  intake: ["today", "record", "lots", "papers"],
  hygiene: ["today", "record", "safety", "chambers"],
  maintenance: ["today", "record", "chambers", "daybook"],
  manager: ["today", "plan", "chambers", "lots"],
  auditor: ["today", "lots", "trace", "daybook"],
};

/* Of a house that receives fruit what is kept stands where chambers are. */
export function bottomFor(role: string, receives: boolean): string[] {
  const keys = BOTTOM[role] ?? ["today", "chambers", "lots", "daybook"];
  return receives ? keys.map((key) => (key === "chambers" ? "keeping" : key)) : keys;
}

/* What is listed; a page reached by its address is shown all the same. */
export function placesFor(actions: string[], receives: boolean): Where[] {
  return PLACES.filter((p) => !(p.grows && receives) && (!p.may || actions.some((a) => a.startsWith(p.may as string))));
}

function holds(where: Where, path: string): boolean {
  return where.path === "/" ? path === "/" : path === where.path || path.startsWith(`${where.path}/`);
}

/* The nearest of the places that hold it: the lines of a day lie within the plan. */
export function isAt(where: Where, path: string): boolean {
  return holds(where, path) && !PLACES.some((p) => p.path.length > where.path.length && holds(p, path));
}
