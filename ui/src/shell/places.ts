/* The places of the house, and which of them stand at the bottom of a phone for whom. */
export interface Where {
  key: string;
  path: string;
  may?: string; /* needs at least one action that begins so */
}

export const PLACES: Where[] = [
  { key: "today", path: "/" },
  { key: "record", path: "/record", may: "record:" },
  { key: "plan", path: "/plan" },
  { key: "lines", path: "/plan/day" },
  { key: "chambers", path: "/chambers" },
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

export function bottomFor(role: string): string[] {
  return BOTTOM[role] ?? ["today", "chambers", "lots", "daybook"];
}

function holds(where: Where, path: string): boolean {
  return where.path === "/" ? path === "/" : path === where.path || path.startsWith(`${where.path}/`);
}

/* The nearest of the places that hold it: the lines of a day lie within the plan. */
export function isAt(where: Where, path: string): boolean {
  return holds(where, path) && !PLACES.some((p) => p.path.length > where.path.length && holds(p, path));
}
