// A sculpt on which landmarks are placed, by mouse and by keys; each place is written at once.

import { crossOf } from "./mark_draw";
import { eachTime, refreshPage, tell } from "./page";
import { send, show } from "./send";
import {
  type Point2,
  type Three,
  dot,
  face,
  field,
  millimetres,
  onScreen,
  ray,
  scaleBar,
  seen,
  startSpace,
} from "./space";
import { isTrying } from "./trial";

const SVG = "http://www.w3.org/2000/svg";
const PAUSE_MS = 250; // after the last arrow key, before the move is written
const RETRY_MS = 1000;
const ARM_PX = 11;
const LEAST_FACING = 0.55; // cosine; below, the sculpt is turned to the landmark
const LONGER = 3; // arrows are so many times as long as the move
const FAR_MM = 2; // a carried place that the surface lies farther from is told
const STEPS: Record<string, [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

interface Wanted {
  key: string;
  how: "placed" | "carried" | "out";
  at: Point2 | null;
  start: Three | null;
  along: Three | null;
}

interface Carried {
  key: string;
  place: Three;
  apart: number;
}

let asked = "";
let hand = ""; // the landmark that the arrow keys move after a click
let cross: Point2 | null = null;
let moved: { wanted: Wanted; timer: number } | null = null;
let queue: Promise<void> = Promise.resolve();
let carriedTo = ""; // the mesh that the carried places are of
let carried = new Map<string, Carried>();
const unwritten = new Map<string, Wanted>();
const made: string[] = [];

const section = (): HTMLElement | null => document.querySelector<HTMLElement>("[data-placing]");
const points = (): HTMLButtonElement[] => [
  ...document.querySelectorAll<HTMLButtonElement>("button.point"),
];
const keyOf = (point: HTMLElement): string => point.dataset["key"] ?? "";
const pointOf = (key: string): HTMLButtonElement | undefined =>
  points().find((point) => keyOf(point) === key);

function three(text: string | undefined): Three | null {
  const [x, y, z] = (text || "").split(" ").map(Number);
  return text && x !== undefined && y !== undefined && z !== undefined ? [x, y, z] : null;
}

const placeOf = (key: string): Three | null => three(pointOf(key)?.dataset["place"]);
const carriedOf = (key: string): Three | null => (placeOf(key) ? null : (carried.get(key)?.place ?? null));
const isOpen = (key: string): boolean => !unwritten.has(key) && !placeOf(key);

// Where a landmark is on the screen: what waits to be written, what stands, or nowhere.
function spotOf(key: string): Point2 | null {
  const waits = unwritten.get(key);
  if (waits) return waits.at;
  const place = placeOf(key);
  return place ? onScreen(place) : null;
}

function atCross(): Point2 {
  const expected = carriedOf(asked);
  const { width, height } = seen();
  return cross ?? (expected ? onScreen(expected) : { x: width / 2, y: height / 2 });
}

function outwardOf(key: string): Three | null {
  return three(pointOf(key)?.dataset["outward"]);
}

function isBehind(key: string): boolean {
  const outward = outwardOf(key);
  return Boolean(outward) && dot(outward as Three, seen().towards) < -0.1;
}

function ask(key: string): void {
  asked = key;
  hand = "";
  cross = null;
  face(outwardOf(key), LEAST_FACING);
  render();
}

function askNext(): void {
  const keys = points().map(keyOf);
  const from = keys.indexOf(asked);
  const ordered = [...keys.slice(from + 1), ...keys.slice(0, from + 1)];
  ask(ordered.find(isOpen) ?? asked);
}

function askBeside(by: number): void {
  const keys = points().map(keyOf);
  ask(keys[(keys.indexOf(asked) + by + keys.length) % keys.length] ?? asked);
}

function said(): string {
  const point = pointOf(asked);
  if (!point) return "";
  const { name = "", meaning = "" } = point.dataset;
  const found = carried.get(asked);
  if (!found || !isOpen(asked)) return `${name}: ${meaning}.`;
  const far = found.apart > FAR_MM ? ` The surface lies ${found.apart.toFixed(1)} mm from there.` : "";
  return `${name}: ${meaning}. Look at the dashed cross: Enter accepts it.${far}`;
}

function element(name: string, attributes: Record<string, string>): SVGElement {
  const made_ = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made_.setAttribute(key, value);
  return made_;
}

function arrow(start: Point2, end: Point2): string {
  const length = Math.hypot(end.x - start.x, end.y - start.y);
  const turn = Math.atan2(end.y - start.y, end.x - start.x);
  const barb = Math.min(9, 0.45 * length + 2);
  const [a, b] = [0.5, -0.5].map(
    (side) => `${end.x - barb * Math.cos(turn + side)} ${end.y - barb * Math.sin(turn + side)}`,
  );
  return `M${start.x} ${start.y}L${end.x} ${end.y}M${a}L${end.x} ${end.y}L${b}`;
}

function arrows(): SVGElement[] {
  return [...document.querySelectorAll<HTMLElement>("[data-move]")].flatMap((each) => {
    const [start, end] = [three(each.dataset["start"]), three(each.dataset["end"])];
    if (!start || !end) return [];
    const longer: Three = [0, 1, 2].map(
      (i) => start[i as 0] + LONGER * (end[i as 0] - start[i as 0]),
    ) as Three;
    const d = arrow(onScreen(start), onScreen(longer));
    const name = "fails" in each.dataset ? "needs" : "over";
    return [element("path", { d, class: "under" }), element("path", { d, class: name })];
  });
}

function crosses(): SVGElement[] {
  const held = hand || asked;
  const drawn = points().flatMap((point) => {
    const key = keyOf(point);
    const at = spotOf(key);
    if (!at) return [];
    const mark = crossOf({ at, inHand: key === held, expected: false }, ARM_PX);
    if (isBehind(key)) mark.classList.add("behind");
    return [mark];
  });
  const expected = carriedOf(asked);
  if (section() && !spotOf(asked) && (cross || expected)) {
    drawn.push(crossOf({ at: atCross(), inHand: !hand, expected: !cross }, ARM_PX));
  }
  return drawn;
}

// Everything over the sculpt.
function overlay(): void {
  const svg = field()?.querySelector("[data-overlay]");
  if (!svg) return;
  const { d, words, x, y } = scaleBar();
  const text = element("text", { x: String(x), y: String(y) });
  text.textContent = words;
  const bar = [element("path", { d, class: "under" }), element("path", { d, class: "bar" }), text];
  svg.replaceChildren(...bar, ...arrows(), ...crosses());
}

function render(): void {
  const root = section();
  if (root) {
    if (!pointOf(asked)) asked = points().map(keyOf).find(isOpen) ?? points().map(keyOf)[0] ?? "";
    for (const point of points()) {
      if (keyOf(point) === asked) point.setAttribute("aria-current", "step");
      else point.removeAttribute("aria-current");
    }
    const words = root.querySelector(".asked");
    if (words && words.textContent !== said()) words.textContent = said();
    const right = asked.endsWith("/right");
    root.querySelector('[data-view="side"]')?.setAttribute("transform", right ? "translate(380) scale(-1 1)" : "");
    for (const each of root.querySelectorAll<SVGElement>("[data-dot]")) {
      const isAsked = each.dataset["dot"] === asked;
      each.classList.toggle("asked", isAsked);
      const mirrored = right && each.classList.contains("side");
      each.setAttribute("transform", mirrored ? "translate(380) scale(-1 1)" : "");
    }
    follow();
  }
  overlay();
}

// The list keeps the landmark that is asked for in sight, and the page stays where it is.
function follow(): void {
  const [list, point] = [document.querySelector<HTMLElement>(".placing .spots"), pointOf(asked)];
  if (!list || !point) return;
  const [outer, inner] = [list.getBoundingClientRect(), point.getBoundingClientRect()];
  if (inner.bottom > outer.bottom) list.scrollTop += inner.bottom - outer.bottom;
  if (inner.top < outer.top) list.scrollTop -= outer.top - inner.top;
}

const later = (): Promise<void> => new Promise((done) => setTimeout(done, RETRY_MS));

// Until it is written: where the server is away, the place waits here and is sent again.
async function writeNow(wanted: Wanted): Promise<void> {
  for (;;) {
    const point = pointOf(wanted.key);
    if (!point) return;
    const answer = await send("/place", {
      round: field()?.dataset["round"],
      landmark: point.dataset["landmark"],
      side: point.dataset["side"],
      how: wanted.how,
      start: wanted.start,
      along: wanted.along,
      was: point.dataset["stands"] ?? "",
    });
    if (answer.kind === "away" || answer.kind === "busy") {
      tell(`${answer.said} The place waits here and is written as soon as it can be; keep this page open.`);
      await later();
      continue;
    }
    if (unwritten.get(wanted.key) === wanted) unwritten.delete(wanted.key);
    if (answer.kind === "written") {
      made.push(wanted.key);
      show(answer);
    } else {
      await refreshPage();
      tell(answer.said);
    }
    render();
    return;
  }
}

function put(wanted: Wanted): void {
  if (isTrying()) {
    tell("Places are not tried: stop trying first. Nothing was written.");
    return;
  }
  if (wanted.at || wanted.how !== "placed") unwritten.set(wanted.key, wanted);
  queue = queue.then(() => writeNow(wanted)).catch(() => undefined);
}

// Write a move that waits for its last arrow key.
function settle(): void {
  if (!moved) return;
  clearTimeout(moved.timer);
  const { wanted } = moved;
  moved = null;
  put(wanted);
}

function wantedAt(key: string, at: Point2): Wanted {
  return { key, how: "placed", at, ...ray(at) };
}

function onClick(at: Point2): void {
  if (!section()) return;
  settle();
  const key = asked;
  put(wantedAt(key, at));
  askNext();
  hand = key;
  render();
}

// Enter: at the cross, or the carried place that was looked at; what is placed stays.
function accept(): void {
  settle();
  if (!isOpen(asked)) {
    askNext();
    return;
  }
  const expected = carriedOf(asked);
  if (cross) put(wantedAt(asked, cross));
  else if (expected) put({ key: asked, how: "carried", at: onScreen(expected), start: null, along: null });
  else {
    cross = atCross();
    tell("Move the cross with the arrow keys, then press Enter.");
    render();
    return;
  }
  askNext();
}

function takeOut(): void {
  settle();
  if (placeOf(asked)) put({ key: asked, how: "out", at: null, start: null, along: null });
  render();
}

function nudge(event: KeyboardEvent, [dx, dy]: [number, number]): void {
  const far = millimetres(event.altKey ? 0.025 : event.shiftKey ? 1 : 0.1);
  const key = hand || asked;
  const from = spotOf(key) ?? atCross();
  const to = { x: from.x + far * dx, y: from.y + far * dy };
  if (spotOf(key)) {
    if (moved && moved.wanted.key !== key) settle();
    if (moved) clearTimeout(moved.timer);
    const wanted = wantedAt(key, to);
    unwritten.set(key, wanted);
    moved = { wanted, timer: setTimeout(settle, PAUSE_MS) };
  } else {
    hand = "";
    cross = to;
  }
  render();
}

function takeBack(): void {
  settle();
  queue = queue
    .then(async () => {
      const key = made.pop();
      const undo = document.querySelector<HTMLElement>('button[data-back="undo"]')?.dataset["asks"];
      if (!key || !undo) {
        tell("Nothing was placed since this page was opened; Undo takes back what was done before.");
        return;
      }
      show(await send("/undo", JSON.parse(undo) as object));
      ask(key);
    })
    .catch(() => undefined);
}

const KEYS: Record<string, () => void> = {
  Enter: accept,
  Backspace: takeBack,
  Delete: takeOut,
  Escape: () => pointOf(asked)?.focus(),
};

function onKey(event: KeyboardEvent): void {
  if (event.target !== field() || !section() || event.ctrlKey || event.metaKey) return;
  const step = STEPS[event.key];
  const does = event.altKey ? undefined : KEYS[event.key];
  if (step) nudge(event, step);
  else if (event.key === "Tab" && !event.altKey) {
    settle();
    askBeside(event.shiftKey ? -1 : 1);
  } else if (does) does();
  else return;
  event.preventDefault();
}

function onButton(event: MouseEvent): void {
  const target = event.target instanceof Element ? event.target : null;
  const point = target?.closest<HTMLElement>("button.point");
  const does = target?.closest<HTMLElement>("[data-point-as]")?.dataset["pointAs"];
  if (point) {
    settle();
    ask(keyOf(point));
    field()?.focus({ preventScroll: true });
  } else if (does === "accept") accept();
  else if (does === "out") takeOut();
  else if (does === "back") takeBack();
}

// What the round before has, where it would lie here: fetched once for a mesh.
async function carry(): Promise<void> {
  const root = section();
  const round = field()?.dataset["round"] ?? "";
  const version = `${round} ${field()?.dataset["version"]} ${root?.dataset["before"]}`;
  if (!root?.dataset["before"] || carriedTo === version) return;
  carriedTo = version;
  const answer = await fetch(`/sculpts/${round}/carried`, { cache: "no-store" });
  if (!answer.ok) return;
  carried = new Map(((await answer.json()) as Carried[]).map((each) => [each.key, each]));
  render();
}

export function startPlacing(): void {
  startSpace(overlay, onClick);
  eachTime(() => {
    if (!field()) return;
    render();
    void carry().catch(() => undefined);
  });
  document.addEventListener("keydown", onKey);
  document.addEventListener("click", onButton);
  addEventListener("pagehide", settle);
}
