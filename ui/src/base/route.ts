/* Where one is: the path and its query, kept in the address. */
import { signal } from "@preact/signals";

export interface Place {
  path: string;
  query: URLSearchParams;
}

function read(): Place {
  return { path: location.pathname, query: new URLSearchParams(location.search) };
}

export const place = signal<Place>(read());

export function go(to: string, replace = false): void {
  if (replace) history.replaceState(null, "", to);
  else history.pushState(null, "", to);
  place.value = read();
  if (replace) return;
  window.scrollTo(0, 0);
  if (location.hash) setTimeout(() => document.getElementById(location.hash.slice(1))?.scrollIntoView(), 300);
}

/* Changes parts of the query where one is; an empty value takes the part away. */
export function query(change: Record<string, string>): void {
  const next = new URLSearchParams(location.search);
  for (const [key, value] of Object.entries(change)) {
    if (value === "") next.delete(key);
    else next.set(key, value);
  }
  const text = next.toString();
  go(`${location.pathname}${text ? `?${text}` : ""}`, true);
}

/* Links inside the pages change the address without loading anew. */
export function startRoutes(): void {
  addEventListener("popstate", () => {
    place.value = read();
  });
  document.addEventListener("click", (event) => {
    if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey) return;
    const link = (event.target as Element | null)?.closest("a");
    if (!link || link.target || link.hasAttribute("download") || link.origin !== location.origin) return;
    if (link.pathname.startsWith("/api/") || link.pathname.startsWith("/trust")) return;
    if (link.pathname === location.pathname && link.hash) return;
    event.preventDefault();
    go(link.pathname + link.search + link.hash);
  });
}

export function lotPath(code: string): string {
  return `/lots/${encodeURIComponent(code)}`;
}

/* A recording form that begins with what is known already. */
export function recordPath(form: string, known: Record<string, string | number>): string {
  const q = new URLSearchParams(Object.entries(known).map(([k, v]) => [k, String(v)])).toString();
  return `/record/${encodeURIComponent(form)}${q ? `?${q}` : ""}`;
}

export function entryPath(seq: number): string {
  return `/daybook/${seq}`;
}
