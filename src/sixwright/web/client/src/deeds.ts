// Everything that is not one cell: rows added and taken out, fixes, acceptances, and the way back.

import { holdPage } from "./leave";
import { bringIntoSight, isKeyboardHere, refreshPage } from "./page";
import { rowsPicked } from "./pick";
import { type Answer, show } from "./send";
import { settle, writeOrTry } from "./trial";
import { isTrying } from "./tried";

// What the form or button says when it was refused, in a line of its own.
function say(near: Element, answer: Answer): void {
  const form = near.closest("form");
  const home = form ?? near.closest(".deeds, td, .ways-back") ?? near;
  let words = home.querySelector<HTMLElement>(":scope > .refused");
  if (!words) {
    words = document.createElement("p");
    words.className = "refused";
    words.dataset["said"] = "";
    words.setAttribute("role", "alert");
    home.append(words);
  }
  words.textContent = answer.said;
}

// What was sent and is not answered yet: a second click or Enter sends nothing more.
const busy = new WeakSet<HTMLElement>();

const heldIn = (form: HTMLFormElement): string => JSON.stringify([...new FormData(form)].map(String));

async function write(near: HTMLElement, path: string, body: object): Promise<Answer | null> {
  if (busy.has(near)) return null;
  busy.add(near);
  near.setAttribute("aria-busy", "true");
  const sent = near instanceof HTMLFormElement ? heldIn(near) : "";
  const sending = path === "/keep" ? settle(path, body) : writeOrTry(path, body);
  const answer = await sending.finally(() => busy.delete(near));
  near.removeAttribute("aria-busy");
  if (answer.kind !== "written" && answer.kind !== "tried") {
    if (answer.kind === "refused" && answer.page) show(answer);
    else say(near, answer);
    await renew(near);
    return null;
  }
  for (const words of document.querySelectorAll(".refused")) words.remove();
  // What was typed meanwhile stays for the next time.
  if (near instanceof HTMLFormElement && heldIn(near) === sent) {
    near.reset();
    delete near.dataset["dirty"];
    near.closest("details.accept")?.removeAttribute("open");
  }
  show(answer);
  return answer;
}

// A decision that was refused, as what it is about has moved, is on what the page shows now.
async function renew(near: HTMLElement): Promise<void> {
  if (!(near instanceof HTMLFormElement) || !near.dataset["asks"]?.includes('"seen"')) return;
  if (!isTrying()) await refreshPage().catch(() => undefined);
  near.dataset["asks"] = near.dataset["newer"] ?? near.dataset["asks"];
}

function cellsOf(form: HTMLFormElement): Record<string, string> {
  const cells: Record<string, string> = {};
  for (const [name, value] of new FormData(form)) {
    if (typeof value === "string" && value.trim()) cells[name] = value.trim();
  }
  return cells;
}

// Fields that must be filled and are not: said at each, and the first is gone to.
function lacks(form: HTMLFormElement): boolean {
  const controls = [...form.elements].filter(
    (each): each is HTMLInputElement => "required" in each && "value" in each,
  );
  const empty = controls.filter((control) => control.required && !control.value.trim());
  for (const control of controls) control.removeAttribute("aria-invalid");
  for (const control of empty) control.setAttribute("aria-invalid", "true");
  if (empty[0]) {
    const named = empty[0].labels?.[0]?.firstChild?.textContent?.trim() ?? "This";
    say(form, { kind: "refused", said: `“${named}” must be filled in; nothing was written.` });
    empty[0].focus();
  }
  return empty.length > 0;
}

function onSubmit(event: SubmitEvent): void {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || form.dataset["does"] === undefined) return;
  event.preventDefault();
  if (lacks(form)) return;
  const { does, asks = "{}", within } = form.dataset;
  const said = cellsOf(form);
  const fixed = JSON.parse(asks) as object;
  const rows = ["many", "ask-sculptor"].includes(does) ? { rows: rowsPicked() } : {};
  const body = within ? { ...fixed, [within]: said } : { ...fixed, ...said, ...rows };
  void write(form, `/${does}`, body).then((answer) => {
    if (!answer || !isKeyboardHere(form)) return;
    if (does === "many") bringIntoSight(document.querySelector(".trying-title"));
    if (does !== "add" || !goTo(answer)) {
      document.getElementById("main")?.focus({ preventScroll: true });
    }
  });
}

// A row that was added is gone to: it may stand far above its form.
function goTo(answer: Answer): boolean {
  const row = answer.anchor ? document.getElementById(answer.anchor) : null;
  const value = row?.querySelector<HTMLElement>("button.edit");
  row?.classList.add("fresh");
  value?.focus({ preventScroll: true });
  bringIntoSight(row);
  bringIntoSight(value ?? null);
  return Boolean(value);
}

// A link to a form may say what is already known of it: `?part=net`; `#many` asks for many at once.
function fillIn(): void {
  const does = location.hash === "#many" ? "many" : "add";
  const form = document.querySelector<HTMLFormElement>(`form[data-does='${does}']`);
  for (const [name, value] of new URLSearchParams(location.search)) {
    const control = form?.elements.namedItem(name);
    if (control instanceof HTMLInputElement || control instanceof HTMLSelectElement) {
      control.value = value;
      if (form) form.dataset["dirty"] = "";
    }
  }
}

// After its button is gone, the keyboard goes on from the heading above it.
function writeAndStay(button: HTMLButtonElement, path: string, body: object): void {
  void write(button, path, body).then(() => {
    if (!button.isConnected && isKeyboardHere()) document.getElementById("main")?.focus({ preventScroll: true });
  });
}

function onClick(event: MouseEvent): void {
  const button = event.target instanceof Element ? event.target.closest("button") : null;
  const { does, asks = "{}" } = button?.dataset ?? {};
  if (!button || does === undefined || button.disabled) return;
  writeAndStay(button, `/${does}`, JSON.parse(asks) as object);
  if (does === "make-line") scrollTo({ top: 0, behavior: "instant" });
}

const TYPING = "input, textarea, select, [contenteditable]";

// The system's own keys for undo and redo, outside of fields, which have their own.
function onKey(event: KeyboardEvent): void {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  if (event.target instanceof Element && event.target.matches(TYPING)) return;
  const key = event.key.toLowerCase();
  const way = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : "";
  if (!way) return;
  const button = document.querySelector<HTMLButtonElement>(`button[data-back="${way}"]`);
  if (button) {
    event.preventDefault();
    button.click();
  }
}

// A form that holds something is left alone when the page is replaced.
function onInput(event: Event): void {
  const form = event.target instanceof Element ? event.target.closest("form") : null;
  if (form) form.dataset["dirty"] = "typed";
}

export function startDeeds(): void {
  holdPage(() => (document.querySelector('form[data-does][data-dirty="typed"]') ? "stays" : ""));
  fillIn();
  document.addEventListener("submit", onSubmit);
  document.addEventListener("click", onClick);
  document.addEventListener("keydown", onKey);
  document.addEventListener("input", onInput);
}
