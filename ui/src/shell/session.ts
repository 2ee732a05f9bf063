/* Who is here, on which device, and what they may do. */
import { computed, signal } from "@preact/signals";
import { fetchOnce, Refused, refresh, send, signedOut } from "../api/client";
import { size, startLive, stopLive } from "../api/live";
import type { Me } from "../api/types";
import { heardAt } from "../base/clock";
import { clock, zone } from "../base/format";
import { language, loadWords, t, word } from "../base/words";
import { all, fact, put, setFact } from "../offline/db";
import { badgeOwner, type KnownPerson, remember, rememberBadge, tryPin } from "../offline/pin";
import { flushQueue, here } from "./told";

export const me = signal<Me | null>(null);
/* Stepped up by a PIN that only this device checked. */
export const isLocal = signal(false);

export const role = computed(() => me.value?.role ?? "");
/* The house receives fruit and has no chambers. What a device kept from before says nothing of it. */
export const receives = computed(() => me.value?.receives ?? false);

export function may(action: string): boolean {
  return me.value?.may.includes(action) ?? false;
}

/* "Early shift, 04:00 to 12:00"; null before there is a profile. */
export function shiftNow(): string | null {
  const s = me.value?.shift;
  return s ? t("ui.shift-span", { name: word("shift", s.name), from: clock(s.start_ms), to: clock(s.end_ms) }) : null;
}

export function today(): string {
  return me.value?.plant_day ?? new Date().toISOString().slice(0, 10);
}

const FORCED = new URLSearchParams(location.search).get("words");

/* heard_ms: by this device's clock, when it came. */
export async function hello(next: Me, heard_ms = Date.now()): Promise<void> {
  heardAt(next.now_ms, heard_ms);
  zone.value = next.zone;
  size.value = next.size;
  const wanted = FORCED ?? (next.person === null ? localStorage.getItem("language") ?? next.language : next.language);
  if (wanted !== language.value) await loadWords(wanted);
  const wasOther = me.value?.person !== next.person;
  me.value = next;
  here.person = next.person;
  here.station = next.station;
  isLocal.value = false;
  setFact("me", next).catch(() => {}); /* nobody waits for the device to keep it */
  if (next.person !== null) {
    if (wasOther) refresh();
    startLive(() => void flushQueue());
    void flushQueue();
  } else {
    stopLive();
  }
}

export async function start(): Promise<void> {
  signedOut.call = () => {
    if (me.value?.person != null) void whoAmI();
  };
  const asked = askMe(); /* while the words come */
  asked.catch(() => {}); /* whoAmI sees to it */
  await loadWords(FORCED ?? localStorage.getItem("language") ?? (navigator.language.startsWith("es") ? "es" : "en"));
  await whoAmI(asked);
}

async function askMe(): Promise<[Me, number]> {
  return [await fetchOnce<Me>("/me"), Date.now()];
}

async function whoAmI(asked = askMe()): Promise<void> {
  try {
    await hello(...(await asked));
  } catch (error) {
    if (error instanceof Refused) throw error;
    const old = await fact<Me>("me");
    if (old) {
      zone.value = old.zone;
      /* On a shared device nobody stays signed in unseen. */
      me.value = old.station ? { ...old, person: null, name: null, role: null, how: null, may: [] } : old;
      here.person = old.person;
      here.station = old.station;
      if (!FORCED && old.person !== null && old.language !== language.value) await loadWords(old.language);
    }
  }
}

/* Where nobody is signed in no news come: what the house says meanwhile is asked for. */
export async function lookAgain(): Promise<void> {
  if (me.value?.person != null) return;
  try {
    const [next, heard_ms] = await askMe();
    /* somebody may have stepped up while it was on its way */
    if (me.value?.person == null && next.person === null) await hello(next, heard_ms);
  } catch {
    /* what was known stands, with its time */
  }
}

export async function signIn(person: number, password: string): Promise<void> {
  await leaving;
  await hello(await send<Me>("POST", "/session", { person, password }));
}

/* Who comes next waits until who left is gone at the server too: one cookie holds either's session, and
 * a late end of the first would end the second. */
let leaving: Promise<unknown> = Promise.resolve();

export async function signOut(): Promise<void> {
  const now = me.value;
  stopLive();
  leaving = send("DELETE", "/session").catch(() => {});
  isLocal.value = false;
  if (now) {
    me.value = { ...now, person: null, name: null, role: null, how: null, may: [] };
    await setFact("me", me.value);
  }
  await leaving;
  if (!now?.station) await whoAmI();
}

export async function stepUp(person: number, pin: string): Promise<void> {
  await leaving;
  const next = await send<Me>("POST", "/step-up", { person, pin });
  const before = (await knownPeople()).find((p) => p.person === next.person);
  await put("people", { ...(await remember(next, pin)), badge: before?.badge });
  await hello(next);
}

export async function stepUpByBadge(badge: string): Promise<void> {
  await leaving;
  const next = await send<Me>("POST", "/step-up", { badge });
  const before = (await knownPeople()).find((p) => p.person === next.person);
  await put("people", await rememberBadge(next, badge, before));
  await hello(next);
}

export function knownPeople(): Promise<KnownPerson[]> {
  return all<KnownPerson>("people");
}

/* false: wrong PIN, or nobody this device knows. */
export async function stepUpHere(person: number, pin: string): Promise<boolean> {
  const known = (await knownPeople()).find((p) => p.person === person);
  if (!known) return false;
  const tried = await tryPin(known, pin);
  await put("people", tried.known);
  if (!tried.isRight) return false;
  await sitDown(known, "pin");
  return true;
}

async function sitDown(known: KnownPerson, how: "pin" | "badge"): Promise<void> {
  if (!FORCED) await loadWords(known.me.language);
  me.value = { ...known.me, how };
  isLocal.value = true;
}

/* false: nobody this device knows by that badge. */
export async function badgeHere(badge: string): Promise<boolean> {
  const known = await badgeOwner(await knownPeople(), badge);
  if (!known) return false;
  await sitDown(known, "badge");
  return true;
}

export async function speak(wanted: string): Promise<void> {
  localStorage.setItem("language", wanted);
  await loadWords(wanted);
  const now = me.value;
  if (now && now.person !== null && wanted !== "xx") {
    me.value = { ...now, language: wanted as Me["language"] };
    await send("POST", `/people/${now.person}/language`, { language: wanted }).catch(() => {});
  }
  refresh();
}

/* On a shared device the person goes after some idle time. */
export function startIdle(): void {
  let last = Date.now();
  const seen = () => {
    last = Date.now();
  };
  for (const kind of ["pointerdown", "keydown", "scroll"]) addEventListener(kind, seen, { passive: true });
  setInterval(() => {
    const now = me.value;
    if (now?.station && now.person !== null && now.idle_s > 0 && Date.now() - last > now.idle_s * 1000) {
      void signOut();
    }
  }, 1000);
}
