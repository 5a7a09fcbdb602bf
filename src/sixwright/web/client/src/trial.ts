// Trying: what is changed is worked out and not written, in this window, on every page of it.

import { folder, refreshPage, replacePage, tell } from "./page";
import { type Answer, post, send } from "./send";

const KEPT = `sixwright-tried-${folder}`;
const TRIED = new Set(["/edit", "/add", "/take-out", "/fix"]);
// What is always tried before it is written.
const TRIED_FIRST = new Set(["/many"]);

type Changes = object[];

// All states of what is tried, the latest last; empty while nothing is.
function states(): Changes[] {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? "[]") as Changes[];
  } catch {
    return [];
  }
}

function keep(all: Changes[]): void {
  if (all.length) sessionStorage.setItem(KEPT, JSON.stringify(all));
  else sessionStorage.removeItem(KEPT);
}

export function isTrying(): boolean {
  return states().length > 0;
}

function latest(): Changes {
  return states().at(-1) ?? [];
}

async function ask(changes: Changes, step: object | null): Promise<Answer> {
  return await post("/try", { changes, step });
}

// What a page would write, or tries instead.
export async function writeOrTry(path: string, body: object): Promise<Answer> {
  if (TRIED_FIRST.has(path)) return await tryNow(path, body);
  if (!isTrying() || !TRIED.has(path)) return await send(path, body);
  return await tryNow(path, body);
}

// Try one step more; where nothing is tried yet, trying begins.
async function tryNow(path: string, body: object): Promise<Answer> {
  const answer = await ask(latest(), { path, body });
  if (answer.kind === "tried" && answer.changes) {
    keep([...(isTrying() ? states() : [[]]), answer.changes]);
    answer.said ||= "Tried, and not written.";
  }
  return answer;
}

// Show this page with what is tried; where it fits the folder no longer, say so and keep it.
export async function showTried(): Promise<void> {
  const answer = await ask(latest(), null);
  if (answer.page !== undefined) replacePage(answer.page);
  else tell(`What you try does not fit the folder now. ${answer.said}`);
}

async function stop(): Promise<void> {
  keep([]);
  await refreshPage();
}

// Write what is tried, or keep it as a way of a choice; then trying is over.
export async function settle(path: string, body: object): Promise<Answer> {
  const answer = await send(path, { ...body, changes: latest() });
  if (answer.kind === "written") keep([]);
  return answer;
}

async function act(what: string): Promise<void> {
  if (what === "start") {
    keep([[]]);
    await showTried();
    document.querySelector<HTMLElement>('[data-try="drop"]')?.focus();
  } else if (what === "back") {
    keep(states().slice(0, -1));
    if (isTrying()) await showTried();
    else await stop();
  } else if (what === "write") {
    const answer = await settle("/write-tried", {});
    if (answer.page !== undefined) replacePage(answer.page);
    tell(answer.said);
  } else {
    await stop();
  }
}

function onClick(event: MouseEvent): void {
  const button = event.target instanceof Element ? event.target.closest("button") : null;
  const what = button?.dataset["try"];
  if (what !== undefined && !button?.disabled) void act(what);
}

export function startTrial(): void {
  document.addEventListener("click", onClick);
  if (isTrying()) void showTried();
}
