// A sculpt on which landmarks are placed, by mouse and by keys; each place is written at once.

import { crossOf } from "./mark_draw";
import { eachTime, tell } from "./page";
import { type About, Queue } from "./queue";
import { openAt } from "./scroll";
import type { Three } from "./seen";
import {
  type Point2,
  dot,
  face,
  field,
  millimetres,
  onScreen,
  ray,
  scaleBar,
  seen,
  seenMesh,
  startSpace,
} from "./space";
import { STEPS, beside, nextOpen, showAsked } from "./steps";

const SVG = "http://www.w3.org/2000/svg";
const ARM_PX = 11;
const LEAST_FACING = 0.45; // cosine; below, the sculpt is turned to the landmark
const LONGER = 3; // arrows are so many times as long as the move
const FAR_MM = 2; // a carried place that the surface lies farther from is told
interface Wanted {
  key: string;
  how: "placed" | "carried" | "out";
  at: Point2 | null;
  start: Three | null;
  along: Three | null;
  mesh: string; // that was seen
  seen: Three | null; // the carried place that was looked at
}

interface Carried {
  key: string;
  place: Three;
  apart: number;
}

let asked = "";
let hand = ""; // the landmark that the arrow keys move after a click
let cross: Point2 | null = null;
let carriedTo = ""; // the mesh that the carried places are of
let carried = new Map<string, Carried>();
const queue = new Queue<Wanted>({ one: "place", done: "placed" }, "/place", bodyOf, about, render);

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
const isOpen = (key: string): boolean => !queue.unwritten.has(key) && !placeOf(key);

// Where a landmark is on the screen: what waits to be written, what stands, or nowhere.
function spotOf(key: string): Point2 | null {
  const waits = queue.unwritten.get(key);
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
  ask(nextOpen(points().map(keyOf), asked, isOpen));
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

// The side view looks the other way, and stays where it stands.
function mirrorOf(dots: Element[]): string {
  const across = dots.map((each) => Number(each.getAttribute("cx")));
  return `translate(${Math.min(...across) + Math.max(...across)}) scale(-1 1)`;
}

function render(): void {
  const root = section();
  if (root) {
    if (!pointOf(asked)) asked = points().map(keyOf).find(isOpen) ?? points().map(keyOf)[0] ?? "";
    showAsked(document.querySelector<HTMLElement>(".placing .spots"), points(), pointOf(asked));
    const words = root.querySelector(".asked");
    if (words && words.textContent !== said()) words.textContent = said();
    const right = asked.endsWith("/right");
    const mirror = right ? mirrorOf([...root.querySelectorAll("[data-dot].side")]) : "";
    root.querySelector('[data-view="side"]')?.setAttribute("transform", mirror);
    for (const each of root.querySelectorAll<SVGElement>("[data-dot]")) {
      const isAsked = each.dataset["dot"] === asked;
      each.classList.toggle("asked", isAsked);
      each.setAttribute("transform", each.classList.contains("side") ? mirror : "");
    }
  }
  overlay();
}

function about(key: string): About {
  const { name = "", stands = "" } = pointOf(key)?.dataset ?? {};
  return { name, stands };
}

function bodyOf(wanted: Wanted): object {
  const { landmark, side } = pointOf(wanted.key)?.dataset ?? {};
  const { how, start, along, mesh, seen: place } = wanted;
  return { round: field()?.dataset["round"], landmark, side, how, start, along, mesh, seen: place };
}

function wantedAt(key: string, at: Point2): Wanted {
  return { key, how: "placed", at, ...ray(at), mesh: seenMesh(), seen: null };
}

function nowhere(key: string): Wanted {
  return { key, how: "out", at: null, start: null, along: null, mesh: seenMesh(), seen: null };
}

function onClick(at: Point2): void {
  if (!section()) return;
  queue.settle();
  const key = asked;
  queue.put(wantedAt(key, at));
  askNext();
  hand = key;
  render();
}

// Enter: at the cross, or the carried place that was looked at; what is placed stays.
function accept(): void {
  queue.settle();
  if (!isOpen(asked)) {
    askNext();
    return;
  }
  const expected = carriedOf(asked);
  if (cross) queue.put(wantedAt(asked, cross));
  else if (expected) queue.put({ ...nowhere(asked), how: "carried", at: onScreen(expected), seen: expected });
  else {
    cross = atCross();
    tell("Move the cross with the arrow keys, then press Enter.");
    render();
    return;
  }
  askNext();
}

function takeOut(): void {
  queue.settle();
  if (placeOf(asked)) queue.put(nowhere(asked));
  render();
}

function nudge(event: KeyboardEvent, [dx, dy]: [number, number]): void {
  const far = millimetres(event.altKey ? 0.025 : event.shiftKey ? 1 : 0.1);
  const key = hand || asked;
  const from = spotOf(key) ?? atCross();
  const to = { x: from.x + far * dx, y: from.y + far * dy };
  if (spotOf(key)) {
    queue.hold(wantedAt(key, to));
  } else {
    hand = "";
    cross = to;
  }
  render();
}

const KEYS: Record<string, () => void> = {
  Enter: accept,
  Backspace: () => queue.takeBack(ask),
  Delete: takeOut,
  Escape: () => pointOf(asked)?.focus(),
};

function onKey(event: KeyboardEvent): void {
  if (event.target !== field() || !section() || event.ctrlKey || event.metaKey) return;
  const step = STEPS[event.key];
  const does = event.altKey ? undefined : KEYS[event.key];
  if (step) nudge(event, step);
  else if (event.key === "Tab" && !event.altKey) {
    queue.settle();
    ask(beside(points().map(keyOf), asked, event.shiftKey ? -1 : 1));
  } else if (does) does();
  else return;
  event.preventDefault();
}

function onButton(event: MouseEvent): void {
  const target = event.target instanceof Element ? event.target : null;
  const point = target?.closest<HTMLElement>("button.point");
  const does = target?.closest<HTMLElement>("[data-point-as]")?.dataset["pointAs"];
  if (point) {
    queue.settle();
    ask(keyOf(point));
    field()?.focus({ preventScroll: true });
  } else if (does === "accept") accept();
  else if (does === "out") takeOut();
  else if (does === "back") queue.takeBack(ask);
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
  openAt(section(), field());
  document.addEventListener("keydown", onKey);
  document.addEventListener("click", onButton);
}
