// Writes, one after the other, each with the page's token.

import { holdPage } from "./leave";
import { ANOTHER, type Next, isAnother, refreshPage, replacePage, tell, token, windowName } from "./page";
import { whyOnlyTried } from "./tried";

export interface Answer {
  kind: "written" | "tried" | "arrived" | "conflict" | "refused" | "busy" | "unreadable" | "disk" | "token" | "away";
  said: string;
  page?: string;
  theirs?: string;
  mine?: string;
  changes?: object[];
  row?: string;
  anchor?: string;
  next?: Next[];
}

const AWAY: Answer = {
  kind: "away",
  said: "sixwright cannot be reached. What you typed is kept here; once it runs again, the page shows whether it was written.",
};

const NOT_TAKEN = "sixwright did not take that; nothing was written.";
const AT_FAULT =
  "Something went wrong in sixwright itself. Who changed what, and when? shows whether it was written.";

const RETRY_MS = 1000;

let last: Promise<unknown> = Promise.resolve();
let under_way = 0;
holdPage(() => (under_way ? "soon" : ""));

// Whether a write has been sent and not yet answered.
export function isWriting(): boolean {
  return under_way > 0;
}

async function postOnce(path: string, body: object): Promise<Answer> {
  const whole = { ...body, page: location.pathname, query: location.search, window: windowName };
  try {
    const answer = await fetch(path, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Sixwright-Token": token() },
      body: JSON.stringify(whole),
    });
    if (answer.headers.get("content-type")?.startsWith("application/json")) {
      const said: unknown = await answer.json();
      if (typeof said === "object" && said !== null && "kind" in said) return said as Answer;
    }
    return { kind: "refused", said: answer.status === 422 ? NOT_TAKEN : AT_FAULT };
  } catch {
    return AWAY;
  }
}

// Ask with the page's token; with a new one where the server was started anew meanwhile. Where it
// was started with another folder, nothing of this page is asked of it.
export async function post(path: string, body: object): Promise<Answer> {
  let answer = await postOnce(path, body);
  if (answer.kind === "token") {
    await refreshPage().catch(() => undefined);
    answer = isAnother() ? { kind: "away", said: ANOTHER } : await postOnce(path, body);
  }
  return answer;
}

// Do it once all that was asked for before is answered.
export function inTurn<Given>(task: () => Promise<Given>): Promise<Given> {
  under_way++;
  const next = last.then(task).finally(() => under_way--);
  last = next.catch(() => undefined);
  return next;
}

// Write; the answer's page is not shown yet, so that a field can close first. In a try nothing is.
export function send(path: string, body: object): Promise<Answer> {
  return inTurn(async () => {
    const why = whyOnlyTried();
    return why ? { kind: "refused", said: why } : await post(path, body);
  });
}

// Write as soon as it can be: where the server is away or busy, say that it waits, and send again.
export async function sendUntilTaken(path: string, body: () => object, waits: string): Promise<Answer> {
  for (;;) {
    const answer = await send(path, body());
    if (answer.kind !== "away" && answer.kind !== "busy") return answer;
    tell(`${answer.said} ${waits}`);
    await new Promise((done) => setTimeout(done, RETRY_MS));
  }
}

// Show what a write led to.
export function show(answer: Answer): void {
  if (answer.page) replacePage(answer.page, true);
  if (answer.said) tell(answer.said, answer.next);
}
