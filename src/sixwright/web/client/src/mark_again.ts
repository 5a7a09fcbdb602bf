// A still marked once more without seeing the first marks: it says how surely this hand marks.

import { holdPage } from "./leave";
import type { Place } from "./mark_draw";
import { section, spotOf, spots, keyOf } from "./mark_spots";
import { post, send, show } from "./send";
import { tell } from "./page";

const LEAST = 6;

let places: Map<string, Place> | null = null; // while it is marked again
let told = ""; // how far apart the marks lie, of the places as they are; empty until it is asked
let canUse = false;

export const isBlind = (): boolean => places !== null;
export const againAt = (key: string): Place | null => places?.get(key) ?? null;

// Only what is marked as seen is marked again.
export function againState(key: string): string {
  if (places?.has(key)) return "seen";
  return spotOf(key)?.dataset["state"] === "seen" ? "" : "hidden";
}

export function putAgain(key: string, place: Place | null): void {
  if (place) places?.set(key, place);
  forget();
  arrange();
}

export function takeBackAgain(): string {
  const last = [...(places?.keys() ?? [])].at(-1) ?? "";
  places?.delete(last);
  forget();
  arrange();
  return last;
}

function forget(): void {
  [told, canUse] = ["", false];
}

const button = (what: string): HTMLElement | null =>
  document.querySelector<HTMLElement>(`[data-again="${what}"]`);

function say(words: string): void {
  const said = document.querySelector<HTMLElement>("[data-again-said]");
  if (said) said.textContent = words;
}

export function arrange(): void {
  const count = places?.size ?? 0;
  for (const [what, isThere] of [
    ["start", !places],
    ["stop", Boolean(places)],
    ["see", Boolean(places) && count >= LEAST],
    ["use", canUse],
  ] as const) {
    button(what)?.toggleAttribute("hidden", !isThere);
  }
  const marked = spots().filter((spot) => spot.dataset["state"] === "seen").length;
  if (!places) return;
  say(told || `${count} of ${marked} marked again; the first marks are not shown. Six are enough.`);
}

function body(): object {
  const found = [...(places ?? [])].map(([key, { x, y }]) => {
    const spot = spotOf(key);
    const { landmark = "", side = "" } = spot?.dataset ?? {};
    return { landmark, side, x_px: x, y_px: y };
  });
  return { still: section()?.dataset["still"], places: found };
}

async function see(): Promise<void> {
  const answer = await post("/spreads", body());
  if (!places) return;
  [told, canUse] = [answer.said, (answer.kind as string) === "told"];
  arrange();
}

async function use(): Promise<void> {
  const answer = await send("/use-spreads", body());
  if (answer.kind === "written") stop();
  else tell(answer.said);
  show(answer);
}

function stop(): void {
  places = null;
  forget();
  say("");
  arrange();
}

// `begun` is told when it begins and when it ends: what is asked for first is another then.
export function startAgain(begun: (first: string) => void): void {
  holdPage(() => (places?.size ? "stays" : ""));
  document.addEventListener("click", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    const what = target?.closest<HTMLElement>("[data-again]")?.dataset["again"];
    if (what === "start") {
      places = new Map();
      forget();
      arrange();
    } else if (what === "stop") stop();
    else if (what === "see") void see();
    else if (what === "use") void use().then(() => begun(""));
    if (what === "start" || what === "stop") begun(firstSeen());
  });
}

function firstSeen(): string {
  const first = spots().find((spot) => spot.dataset["state"] === "seen");
  return first ? keyOf(first) : "";
}
