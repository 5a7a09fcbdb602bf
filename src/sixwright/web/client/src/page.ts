// The page and its replacement by a newer one: what is being written in, unfolded or focused stays.

import { Idiomorph } from "idiomorph";

// Names this window to the server, so that it is not told of its own edits.
export const windowName = crypto.randomUUID();

function meta(name: string): HTMLMetaElement | null {
  return document.querySelector<HTMLMetaElement>(`meta[name="sixwright-${name}"]`);
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

// Put a newer page in the place of this one.
export function replacePage(html: string): void {
  const newer = new DOMParser().parseFromString(html, "text/html");
  document.title = newer.title;
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

// Ask for this page as it is now, and show it.
export async function refreshPage(): Promise<void> {
  const answer = await fetch(location.pathname, { cache: "no-store" });
  replacePage(await answer.text());
}

// Say what just happened, for the eye and for a screen reader.
export function tell(words: string): void {
  const told = document.getElementById("told");
  if (!told) return;
  told.textContent = words;
  told.classList.remove("hint");
}
