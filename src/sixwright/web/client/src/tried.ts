// What this window tries, as it is kept from page to page of one folder.

import { folder, tell } from "./page";

const KEPT = `sixwright-tried-${folder}`;
const ONLY_TRIED =
  "That cannot be tried, and while you try nothing is written: save or discard what you try " +
  "first. Nothing was written.";
export const NOT_KEPT =
  "This browser keeps no more of what is tried: save or discard it first. Nothing was written.";

export type Changes = object[];

// All states of what is tried, the latest last; empty while nothing is.
export function states(): Changes[] {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? "[]") as Changes[];
  } catch {
    return [];
  }
}

// Whether the browser kept it: it may be full, or forbidden to keep anything.
export function keep(all: Changes[]): boolean {
  try {
    if (all.length) sessionStorage.setItem(KEPT, JSON.stringify(all));
    else sessionStorage.removeItem(KEPT);
    return true;
  } catch {
    return false;
  }
}

export function isTrying(): boolean {
  return states().length > 0;
}

export function latest(): Changes {
  return states().at(-1) ?? [];
}

// Why nothing but what is tried may be written now; empty where it may. A page without the button
// that stops a try has none.
export function whyOnlyTried(): string {
  return isTrying() && document.querySelector("[data-try]") ? ONLY_TRIED : "";
}

// Whether something is held back for that; it is told.
export function isHeldBack(): boolean {
  const why = whyOnlyTried();
  if (why) tell(why);
  return Boolean(why);
}
