// Trying: what is changed is worked out and not written, in this window, on every page of it.

import { isKeyboardHere, refreshPage, replacePage, tell } from "./page";
import { type Answer, inTurn, post, send } from "./send";
import { type Changes, NOT_KEPT, isTrying, keep, latest, states } from "./tried";

const TRIED = new Set(["/edit", "/add", "/take-out", "/fix"]);
// What is always tried before it is written.
const TRIED_FIRST = new Set(["/many"]);

async function ask(changes: Changes, step: object | null): Promise<Answer> {
  return await post("/try", { changes, step });
}

// What a page would write, or tries instead.
export async function writeOrTry(path: string, body: object): Promise<Answer> {
  if (TRIED_FIRST.has(path)) return await tryNow(path, body);
  if (!isTrying() || !TRIED.has(path)) return await send(path, body);
  return await tryNow(path, body);
}

// Try one step more, upon what was tried before it; where nothing is tried yet, trying begins.
function tryNow(path: string, body: object): Promise<Answer> {
  return inTurn(async () => {
    const answer = await ask(latest(), { path, body });
    if (answer.kind === "tried" && answer.changes) {
      const all = [...(isTrying() ? states() : [[]]), answer.changes];
      if (!keep(all)) return { kind: "refused", said: NOT_KEPT };
      answer.said ||= "Tried, and not written.";
    }
    return answer;
  });
}

// Show this page with what is tried; where it fits the folder no longer, say so and keep it.
export async function showTried(): Promise<void> {
  const answer = await ask(latest(), null);
  if (answer.page !== undefined) replacePage(answer.page);
  else tell(`What you try does not fit the folder now. ${answer.said}`);
}

async function stop(): Promise<void> {
  await inTurn(async () => void keep([]));
  await refreshPage();
}

let isSaving = false;

async function save(): Promise<void> {
  if (isSaving) return;
  isSaving = true;
  const answer = await settle("/write-tried", {}).finally(() => (isSaving = false));
  if (answer.page !== undefined) replacePage(answer.page);
  tell(answer.said);
}

// Write what is tried, with the step that is on its way, or keep it as a way of a choice; then
// trying is over.
export async function settle(path: string, body: object): Promise<Answer> {
  await new Promise((done) => setTimeout(done)); // a field that just lost the keyboard begins to be tried
  return await inTurn<Answer>(async () => {
    if (!isTrying()) return { kind: "refused", said: "Nothing is tried any more." };
    const answer = await post(path, { ...body, changes: latest() });
    if (answer.kind === "written") keep([]);
    return answer;
  });
}

async function act(what: string): Promise<void> {
  if (what === "start") {
    if (!keep([[]])) {
      tell(NOT_KEPT);
      return;
    }
    await showTried();
    if (isKeyboardHere(...document.querySelectorAll("[data-try]"))) {
      document.querySelector<HTMLElement>('[data-try="drop"]')?.focus();
    }
  } else if (what === "back") {
    await inTurn(async () => void keep(states().slice(0, -1)));
    if (isTrying()) await showTried();
    else await stop();
  } else if (what === "write") {
    await save();
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
