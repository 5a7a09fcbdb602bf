// An outline on a still: drawn by clicks between which it clings to edges, every point of it movable.

import { holdPage } from "./leave";
import type { Place } from "./mark_draw";
import { field, placeAt, section, size, within } from "./mark_spots";
import { notice, refreshPage, tell } from "./page";
import { post, sendUntilTaken, show } from "./send";
import { STEPS } from "./steps";
import { whyOnlyTried } from "./tried";

const NEAR_PX = 10; // of the screen: a point is taken hold of
const PAUSE_MS = 250;
const SVG = "http://www.w3.org/2000/svg";

let line: Place[] = [];
let at = -1; // the point that is chosen
let cross: Place | null = null; // where the keys would put the next point
let isClinging = true;
let isHeld = false;
let isPressed = false; // by the first button, on the still
let named = ""; // the outline that is drawn
let isWaiting = false; // what is drawn is newer than what the page says
let changes = 0; // of what is drawn, counted
let timer = 0;
let unwritten = 0; // writes that are under way or wait
let queue: Promise<void> = Promise.resolve();
// What is drawn of an outline and not written yet; and what stood there when it was last looked at.
const drawn = new Map<string, { line: Place[]; until: number }>();
const seen = new Map<string, string>();

const chosen = (): string =>
  document.querySelector<HTMLSelectElement>("[data-outline-name]")?.value ?? "";
const stored = (name: string): HTMLElement | null =>
  document.querySelector<HTMLElement>(`[data-outline="${name}"]`);

export const isOutlining = (): boolean => Boolean(section()) && chosen() !== "";

const standsOf = (name: string): string => stored(name)?.dataset["stands"] ?? "";

function readLine(name: string): Place[] {
  const points = stored(name)?.dataset["points"] ?? "";
  return points.split(" ").filter(Boolean).map((text) => {
    const [x = 0, y = 0] = text.split(",").map(Number);
    return { x, y };
  });
}

function element(kind: string, name: string, values: Record<string, string>): SVGElement {
  const made = document.createElementNS(SVG, kind);
  made.setAttribute("class", name);
  for (const [key, value] of Object.entries(values)) made.setAttribute(key, value);
  return made;
}

const d = (points: Place[]): string =>
  points.map(({ x, y }, n) => `${n ? "L" : "M"}${x} ${y}`).join("");

function drawLines(): void {
  const root = document.querySelector("[data-lines]");
  if (!root) return;
  const radius = String((5 * size().x) / Math.max(field()?.clientWidth ?? 1, 1));
  const others = [...document.querySelectorAll<HTMLElement>("[data-outline]")]
    .map((one) => one.dataset["outline"] ?? "")
    .filter((name) => name !== chosen())
    .flatMap((name) => ["line-under", "line-quiet"].map((kind) => element("path", kind, { d: d(readLine(name)) })));
  const own = ["line-under", "line"].map((kind) => element("path", kind, { d: d(line) }));
  const dots = line.map(({ x, y }, n) =>
    element("circle", n === at ? "at" : "", { cx: String(x), cy: String(y), r: radius }));
  const next = cross
    ? [element("path", "line", { d: `M${cross.x - 9} ${cross.y}h18M${cross.x} ${cross.y - 9}v18` })]
    : [];
  root.replaceChildren(...others, ...(isOutlining() ? [...own, ...dots, ...next] : []));
}

// What is drawn and waits is the line; where nothing waits, what the page says now.
function look(name: string): void {
  const waits = drawn.get(name);
  line = waits ? [...waits.line] : readLine(name);
  if (!waits) seen.set(name, standsOf(name));
}

export function arrangeOutline(): void {
  const name = chosen();
  if (name !== named) choose(name);
  if (name && !isHeld && !isWaiting) look(name);
  at = Math.min(at, line.length - 1);
  document.querySelector("[data-outlining]")?.toggleAttribute("hidden", !name);
  document.querySelector('[data-outline-as="cling"]')?.setAttribute("aria-pressed", String(isClinging));
  drawLines();
}

function said(): string {
  const count = line.length === 1 ? "1 point" : `${line.length} points`;
  return at < 0 ? `${count}.` : `Point ${at + 1} of ${line.length}.`;
}

// What is asked for stands above the still: of an outline, how far it is.
export const outlineWords = (): string =>
  `Click along the outline${isClinging ? "; the line clings to edges" : ""}. ${said()}`;

// Written over what was seen, and over nothing that came while it waited.
async function writeLine(name: string, points: Place[], until: number): Promise<void> {
  const body = {
    still: section()?.dataset["still"],
    outline: name,
    points: points.map(({ x, y }) => [String(x), String(y)]),
    was: seen.get(name) ?? "",
  };
  const waits = "The outline waits here and is written as soon as it can be.";
  const answer = await sendUntilTaken("/outline", () => body, waits);
  if (drawn.get(name)?.until === until) drawn.delete(name);
  if (changes === until) isWaiting = false;
  if (answer.kind === "written") {
    show(answer);
    seen.set(name, standsOf(name));
    tell(`The outline was written: ${points.length === 1 ? "1 point" : `${points.length} points`}.`);
  } else {
    notice(`${nameOf(name)}: ${answer.said}`);
    await refreshPage();
    tell(answer.said);
  }
}

function nameOf(name: string): string {
  const select = document.querySelector<HTMLSelectElement>("[data-outline-name]");
  return [...(select?.options ?? [])].find(({ value }) => value === name)?.text ?? name;
}

function write(): void {
  clearTimeout(timer);
  timer = 0;
  const why = whyOnlyTried();
  if (why) {
    tell(why);
    isWaiting = false;
    arrangeOutline();
    return;
  }
  const [name, points, until] = [named, [...line], change()];
  drawn.set(name, { line: points, until });
  drawLines();
  unwritten++;
  queue = queue
    .then(() => writeLine(name, points, until))
    .catch(() => undefined)
    .finally(() => unwritten--);
}

// What is drawn is another now, and is not read from the page until it is written.
function change(): number {
  isWaiting = true;
  return ++changes;
}

// Another outline is drawn from now on; a move that waits for its last arrow key is written first.
function choose(name: string): void {
  if (timer) write();
  [at, cross, isHeld, isWaiting, named] = [-1, null, false, false, name];
  changes++;
}

async function pathTo(place: Place): Promise<Place[]> {
  const last = line.at(-1);
  if (!last || !isClinging) return [place];
  const answer = (await post("/outline-path", {
    still: section()?.dataset["still"],
    start: [last.x, last.y],
    end: [place.x, place.y],
  })) as { kind: string; points?: [number, number][] };
  if (answer.kind !== "path" || !answer.points) return [place];
  return answer.points.slice(1).map(([x, y]) => ({ x, y }));
}

let adding: Promise<void> = Promise.resolve();

function add(place: Place): void {
  adding = adding
    .then(async () => {
      const own = named;
      change();
      const path = await pathTo(place);
      if (named !== own) {
        tell("Another outline was chosen meanwhile; the last point was not written.");
        return;
      }
      line = [...line, ...path];
      at = -1;
      cross = null;
      write();
    })
    .catch(() => undefined);
}

function drop(): void {
  if (!line.length) return;
  line.splice(at < 0 ? line.length - 1 : at, 1);
  at = Math.min(at, line.length - 1);
  write();
}

function nearest(place: Place): number {
  const scale = size().x / Math.max(field()?.clientWidth ?? 1, 1);
  const far = line.map(({ x, y }) => Math.hypot(x - place.x, y - place.y) / scale);
  const least = Math.min(...far);
  return least <= NEAR_PX ? far.indexOf(least) : -1;
}

function shift(dx: number, dy: number): void {
  const middle = within({ x: size().x / 2, y: size().y / 2 });
  const from = at >= 0 ? line[at] : (cross ?? line.at(-1) ?? middle);
  if (!from) return;
  const to = within({ x: from.x + dx, y: from.y + dy });
  if (at >= 0) {
    line[at] = to;
    change();
    clearTimeout(timer);
    timer = setTimeout(write, PAUSE_MS);
  } else cross = to;
  drawLines();
}

const FAR = (event: KeyboardEvent): number =>
  event.altKey ? 0.25 : event.shiftKey ? 10 : event.ctrlKey ? 100 : 1;
function leave(): void {
  const select = document.querySelector<HTMLSelectElement>("[data-outline-name]");
  if (select) select.value = "";
  arrangeOutline();
}

// Whether it was a key of outlines, which is then dealt with.
export function outlineKey(event: KeyboardEvent): boolean {
  const step = STEPS[event.key];
  const key = event.key.toLowerCase();
  if (step && !event.metaKey) shift(FAR(event) * step[0], FAR(event) * step[1]);
  else if (event.ctrlKey || event.metaKey || event.altKey) return false;
  else if (key === "enter") add(cross ?? within({ x: size().x / 2, y: size().y / 2 }));
  else if (key === "tab") {
    const count = line.length + 1; // none chosen is one of the turns
    at = ((at + 1 + (event.shiftKey ? -1 : 1) + count) % count) - 1;
    cross = null;
    drawLines();
  } else if (key === "delete") drop();
  else if (key === "e") toggle();
  else if (key === "escape") leave();
  else return false;
  return true;
}

function toggle(): void {
  isClinging = !isClinging;
  arrangeOutline();
}

// A drag whose end was not seen, or that the system took away, moves nothing.
function letGo(): void {
  isHeld = isPressed = false;
  arrangeOutline();
}

export function startOutlines(changed: () => void): void {
  holdPage(() => (unwritten || timer || isWaiting ? "soon" : ""));
  document.addEventListener("change", (event) => {
    if (!(event.target instanceof Element) || !event.target.matches("[data-outline-name]")) return;
    arrangeOutline();
    field()?.focus({ preventScroll: true });
    changed();
  });
  document.addEventListener("click", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    const what = target?.closest<HTMLElement>("[data-outline-as]")?.dataset["outlineAs"];
    if (what === "cling") toggle();
    else if (what === "drop") drop();
    if (what) changed();
  });
  document.addEventListener("pointerdown", (event) => {
    const over = event.target instanceof Element && event.target.closest("[data-field]");
    const place = over && isOutlining() && !event.button ? placeAt(event) : null;
    if (!place) return;
    isPressed = true;
    at = nearest(place);
    isHeld = at >= 0;
    drawLines();
    changed();
  });
  document.addEventListener("pointercancel", letGo);
  document.addEventListener("pointermove", (event) => {
    const place = isHeld ? placeAt(event) : null;
    if (!place) return;
    if (!(event.buttons & 1)) {
      letGo();
      return;
    }
    line[at] = place;
    drawLines();
  });
  document.addEventListener("pointerup", (event) => {
    if (!isOutlining() || event.button || !isPressed) return;
    isPressed = false;
    const over = event.target instanceof Element && event.target.closest("[data-field]");
    const place = over ? placeAt(event) : null;
    if (isHeld) {
      isHeld = false;
      const before = readLine(chosen())[at];
      const now = line[at];
      if (!before || !now || Math.hypot(before.x - now.x, before.y - now.y) > 0.3) write();
    } else if (place) add(place);
  });
}
