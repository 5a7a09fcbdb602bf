// The page and its replacement by a newer one: what is being written in, unfolded or focused stays.

import { Idiomorph } from "idiomorph";

// Names this window to the server, so that it is not told of its own edits.
export const windowName = crypto.randomUUID();

function meta(name: string): HTMLMetaElement | null {
  return document.querySelector<HTMLMetaElement>(`meta[name="sixwright-${name}"]`);
}

// The folder that this page is of, for as long as it is open.
export const folder = meta("folder")?.content ?? "";
export const ANOTHER =
  "Another line is open at this address now. This page stays as it is and writes nothing there; " +
  "reload it to see that line.";
let another = false;

// Whether the server at this address has another folder than this page is of.
export function isAnother(): boolean {
  return another;
}

export function token(): string {
  return meta("token")?.content ?? "";
}

export function version(): string {
  return meta("version")?.content ?? "";
}

type Listener = () => void;
const listeners: Listener[] = [];

// Called once now, and again whenever the page has been replaced.
export function eachTime(listener: Listener): void {
  listeners.push(listener);
  listener();
}

const isElement = (node: Node): node is Element => node.nodeType === Node.ELEMENT_NODE;

// What the newer page must leave alone: open fields, forms that hold something, what we laid in.
function isKept(node: Node): boolean {
  return isElement(node) && node.matches("[data-open], [data-dirty], [data-said], #notices, #told");
}

const callbacks = {
  beforeNodeMorphed: (node: Node): boolean => !isKept(node),
  beforeNodeRemoved: (node: Node): boolean =>
    !isKept(node) && !(isElement(node) && node.querySelector("[data-open]")),
  beforeAttributeUpdated: (name: string, node: Element): boolean =>
    !(name === "open" && node instanceof HTMLDetailsElement) && !name.startsWith("tabindex"),
};

// What a form asks, without what the page showed when it was drawn.
function askedBy(form: HTMLElement): string {
  const { seen: _, ...asked } = JSON.parse(form.dataset["asks"] ?? "{}") as Record<string, unknown>;
  return JSON.stringify([form.dataset["does"], asked]);
}

// Forms that stay, as they hold something, learn what the newer page would ask: at once where it
// came of what was done here, otherwise once they were refused and the reason was read.
function renewForms(newer: Document, isOwn: boolean): void {
  const drawn = [...newer.querySelectorAll<HTMLElement>("form[data-asks]")];
  for (const form of document.querySelectorAll<HTMLElement>("form[data-dirty][data-asks]")) {
    const asks = drawn.find((each) => askedBy(each) === askedBy(form))?.dataset["asks"];
    if (asks === undefined) continue;
    form.dataset[isOwn ? "asks" : "newer"] = asks;
  }
}

// Put a newer page in the place of this one; never one of another folder.
export function replacePage(html: string, isOwn = false): void {
  const newer = new DOMParser().parseFromString(html, "text/html");
  const of = newer.querySelector<HTMLMetaElement>('meta[name="sixwright-folder"]')?.content;
  another = of !== undefined && of !== folder;
  if (another) {
    tell(ANOTHER);
    return;
  }
  document.title = newer.title;
  renewForms(newer, isOwn);
  for (const name of ["token", "version"]) {
    const said = newer.querySelector<HTMLMetaElement>(`meta[name="sixwright-${name}"]`);
    const stands = meta(name);
    if (said && stands) stands.content = said.content;
  }
  for (const part of [".spine", "main"]) {
    const stands = document.querySelector(part);
    const replacement = newer.querySelector(part);
    if (stands && replacement) {
      Idiomorph.morph(stands, replacement, { morphStyle: "outerHTML", callbacks });
    }
  }
  for (const listener of listeners) listener();
}

// Whether the keyboard is still where it was when something was sent: in one of these, or nowhere.
// Who went on elsewhere meanwhile keeps it; what is typed would go into two values otherwise.
export function isKeyboardHere(...places: (Element | null)[]): boolean {
  const at = document.activeElement;
  return !at || at === document.body || places.some((place) => place?.contains(at));
}

const SCROLLING_MS = 1000;

let wanted: Element | null = null;
let until = 0;

function isInSight(element: Element): boolean {
  const { top, bottom } = element.getBoundingClientRect();
  const { scrollPaddingTop, scrollPaddingBottom } = getComputedStyle(document.documentElement);
  const [above, below] = [parseFloat(scrollPaddingTop), parseFloat(scrollPaddingBottom)];
  return top >= above - 1 && bottom <= innerHeight - below + 1;
}

function bring(element: Element): void {
  element.scrollIntoView({ block: "nearest", inline: "nearest", behavior: "instant" });
}

// Bring something into sight; once more where the page was still on its way from a key before.
export function bringIntoSight(element: Element | null): void {
  if (!element) return;
  wanted = element;
  until = performance.now() + SCROLLING_MS;
  bring(element);
}

document.addEventListener("scrollend", () => {
  if (wanted?.isConnected && performance.now() < until && !isInSight(wanted)) bring(wanted);
});

// Ask for this page as it is now, and show it.
export async function refreshPage(): Promise<void> {
  const answer = await fetch(location.pathname + location.search, { cache: "no-store" });
  replacePage(await answer.text());
}

export interface Next {
  href: string;
  words: string;
}

// Say what just happened, for the eye and for a screen reader; and where one may go on.
export function tell(words: string, next: Next[] = []): void {
  const told = document.getElementById("told");
  if (!told) return;
  const links = next.map(({ href, words: name }) => {
    const link = document.createElement("a");
    link.href = href;
    link.textContent = name;
    return link;
  });
  told.replaceChildren(words, ...(links.length ? [" Next: "] : []));
  links.forEach((link, at) => told.append(...(at ? [" · "] : []), link));
  told.classList.remove("hint");
}

// Say what must not be overlooked, at the top of the page, until it was seen.
export function notice(words: string, kind = "refusal"): void {
  const box = document.createElement("div");
  box.className = `notice ${kind}`;
  const said = document.createElement("p");
  said.textContent = words;
  const seen = document.createElement("button");
  seen.type = "button";
  seen.textContent = "Seen";
  seen.addEventListener("click", () => box.remove());
  box.append(said, seen);
  document.getElementById("notices")?.append(box);
}
