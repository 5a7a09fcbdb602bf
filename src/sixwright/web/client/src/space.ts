// Where a sculpt is seen from: turned, moved and brought nearer by mouse, touch and keys.

import { eachTime } from "./page";
import type { Seen, Three } from "./seen";

export interface Point2 {
  x: number;
  y: number;
}

interface Drawer {
  show(places: Float32Array, corners: Uint32Array): void;
  draw(seen: Seen): void;
}

const VIEWER = "/static/viewer.js";
const DRAG_PX = 4; // a press that moves less is a click
const TURN_DEG_PX = 0.5;
const KEY_TURN_DEG = 15;
const MOST_TIP_DEG = 25; // own choice: the chin stands out against the neck
const NEARER = 1.25;
const MARGIN = 1.12;
const BARS_MM = [1, 2, 5, 10, 20, 50];
const FLAT_PAUSE_MS = 120;

let yaw = 0;
let pitch = 0;
let own: [number, number] = [0, 0];
let middle: Three = [0, 0, 0];
let size = 60; // of the sculpt, mm
let step = 0; // 0: so that all of it is seen
let shown = ""; // the mesh that is here, by its address
let version = ""; // of the mesh that is seen
let drawer: Drawer | null = null;
let canvas: HTMLCanvasElement | null = null;
let flat = false;
let flatTimer = 0;
let press: { x: number; y: number; moved: boolean; pan: boolean } | null = null;
const fingers = new Map<number, Point2>();
const redraws: (() => void)[] = [];
let clicked: (at: Point2) => void = () => undefined;

export const field = (): HTMLElement | null => document.querySelector<HTMLElement>("[data-sculpt]");
const radians = (degrees: number): number => (degrees * Math.PI) / 180;
export const dot = (a: Three, b: Three): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const plus = (a: Three, b: Three, times: number): Three => [
  a[0] + times * b[0],
  a[1] + times * b[1],
  a[2] + times * b[2],
];

function towardsOf(yawDeg: number, pitchDeg: number): Three {
  const [y, p] = [radians(yawDeg), radians(pitchDeg)];
  return [Math.sin(y) * Math.cos(p), Math.sin(p), Math.cos(y) * Math.cos(p)];
}

export function seen(): Seen {
  const box = field();
  const [width, height] = [box?.clientWidth || 1, box?.clientHeight || 1];
  const [y, p] = [radians(yaw), radians(pitch)];
  const towards = towardsOf(yaw, pitch);
  const right: Three = [Math.cos(y), 0, -Math.sin(y)];
  const up: Three = [-Math.sin(y) * Math.sin(p), Math.cos(p), -Math.cos(y) * Math.sin(p)];
  const fits = (MARGIN * size) / Math.min(width, height);
  return { middle, right, up, towards, step: step || fits, width, height };
}

export function onScreen(place: Three): Point2 {
  const { middle: m, right, up, step: s, width, height } = seen();
  const off = plus(place, m, -1);
  return { x: width / 2 + dot(off, right) / s, y: height / 2 - dot(off, up) / s };
}

// The ray that comes from the eye through a place of the screen.
export function ray(at: Point2): { start: Three; along: Three } {
  const { middle: m, right, up, towards, step: s, width, height } = seen();
  const across = plus(m, right, s * (at.x - width / 2));
  const start = plus(plus(across, up, s * (height / 2 - at.y)), towards, 10 * size);
  return { start, along: plus([0, 0, 0], towards, -1) };
}

// Which mesh a click on the screen is meant for.
export const seenMesh = (): string => version;

export function millimetres(mm: number): number {
  return mm / seen().step;
}

function turn(toYaw: number, toPitch: number): void {
  yaw = toYaw;
  pitch = Math.max(-89, Math.min(89, toPitch));
  redraw();
}

// The view that the hand chose: it comes back once a landmark was faced that it shows aslant.
export function look(toYaw: number, toPitch: number): void {
  turn(toYaw, toPitch);
  own = [yaw, pitch];
}

// Turn only where the surface there would be seen aslant, and never so far that the outline is lost:
// what lies under the chin is seen from beneath and before.
export function face(outward: Three | null, least: number): void {
  if (!outward) return;
  if (dot(outward, towardsOf(...own)) >= least) {
    turn(...own);
    return;
  }
  const [x, y, z] = outward;
  const tip = (Math.asin(Math.max(-1, Math.min(1, y))) * 180) / Math.PI;
  turn((Math.atan2(x, z) * 180) / Math.PI, Math.max(-MOST_TIP_DEG, Math.min(MOST_TIP_DEG, tip)));
}

function nearer(times: number, at?: Point2): void {
  const { step: before, right, up, width, height } = seen();
  const most = (3 * size) / Math.min(width, height);
  step = Math.max(0.002, Math.min(most, before / times));
  if (at) {
    const kept = before - step;
    middle = plus(plus(middle, right, kept * (at.x - width / 2)), up, kept * (height / 2 - at.y));
  }
  redraw();
}

function shift(dx: number, dy: number): void {
  const { step: s, right, up } = seen();
  middle = plus(plus(middle, right, -s * dx), up, s * dy);
  redraw();
}

function drawFlat(): void {
  const image = field()?.querySelector<HTMLImageElement>("[data-flat]");
  const { middle: [x, y, z], step: s, width, height } = seen();
  const asked = { yaw, pitch, x, y, z, step: s, width: Math.min(2000, Math.round(width)), height: Math.min(2000, Math.round(height)) };
  const said = new URLSearchParams(Object.entries(asked).map(([name, value]) => [name, String(value)]));
  if (!image) return;
  image.hidden = false;
  image.src = `/sculpts/${field()?.dataset["round"]}/view?${said}`;
}

export function redraw(): void {
  const box = field();
  if (!box) return;
  if (drawer) drawer.draw(seen());
  else if (flat) {
    clearTimeout(flatTimer);
    flatTimer = setTimeout(drawFlat, FLAT_PAUSE_MS);
  }
  for (const each of redraws) each();
}

// Where the sculpt lies, from its places.
function measure(places: Float32Array): void {
  const [low, high]: [Three, Three] = [[Infinity, Infinity, Infinity], [-Infinity, -Infinity, -Infinity]];
  places.forEach((value, i) => {
    const axis = (i % 3) as 0 | 1 | 2;
    if (value < low[axis]) low[axis] = value;
    if (value > high[axis]) high[axis] = value;
  });
  middle = [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2];
  size = Math.max(high[0] - low[0], high[1] - low[1], high[2] - low[2]) || 60;
  step = 0;
}

async function bring(address: string): Promise<void> {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(String(answer.status));
  const content = await answer.arrayBuffer();
  const [vertices = 0, faces = 0] = new Uint32Array(content, 0, 2);
  const places = new Float32Array(content, 8, 3 * vertices);
  const corners = new Uint32Array(content, 8 + 12 * vertices, 3 * faces);
  measure(places);
  drawer?.show(places, corners);
}

async function open(): Promise<void> {
  const box = field();
  const stands = box?.querySelector<HTMLCanvasElement>("[data-space]");
  if (!box || !stands) return;
  if (stands !== canvas) {
    canvas = stands;
    drawer = null;
    shown = "";
  }
  const address = `/sculpts/${box.dataset["round"]}/mesh?v=${box.dataset["version"]}`;
  if (address === shown) {
    told(box);
    redraw();
    return;
  }
  shown = address;
  if (!drawer && !flat) {
    try {
      const { Viewer } = (await import(VIEWER)) as typeof import("./viewer");
      drawer = new Viewer(stands);
    } catch {
      flat = true;
    }
  }
  const wanted = box.dataset["version"] ?? "";
  await bring(address)
    .then(() => (version = wanted))
    .catch(() => (shown = ""));
  told(box);
  redraw();
}

// Says to style sheets and tests how the sculpt is drawn; and to the reader where it is not.
function told(box: HTMLElement): void {
  box.dataset["shown"] = shown ? (flat ? "flat" : "space") : "none";
  for (const words of document.querySelectorAll<HTMLElement>("[data-no-space]")) words.hidden = !flat;
}

// A scale bar, as an SVG path and its words.
export function scaleBar(): { d: string; words: string; x: number; y: number } {
  const { step: s, width, height } = seen();
  const length = BARS_MM.filter((mm) => mm / s <= width / 4).at(-1) ?? 1;
  const [left, foot] = [14, height - 14];
  const d = `M${left} ${foot - 6}V${foot}H${left + length / s}V${foot - 6}`;
  return { d, words: `${length} mm`, x: left + 6, y: foot - 8 };
}

// Within the border, as what is drawn is.
const at = (event: MouseEvent): Point2 => {
  const box = field();
  const { left, top } = box?.getBoundingClientRect() ?? { left: 0, top: 0 };
  return { x: event.clientX - left - (box?.clientLeft ?? 0), y: event.clientY - top - (box?.clientTop ?? 0) };
};
const isOver = (event: Event): boolean =>
  event.target instanceof Element && Boolean(event.target.closest("[data-sculpt]"));

function down(event: PointerEvent): void {
  if (!isOver(event) || event.button > 2) return;
  const place = at(event);
  fingers.set(event.pointerId, place);
  press = { ...place, moved: fingers.size > 1, pan: event.shiftKey || event.button !== 0 };
  field()?.setPointerCapture(event.pointerId);
}

// Two fingers: how far apart they are brings it nearer, and where they go moves it.
function pinch(event: PointerEvent, from: Point2, to: Point2): void {
  const other = [...fingers].find(([id]) => id !== event.pointerId)?.[1];
  if (!other) return;
  const apart = (a: Point2): number => Math.hypot(a.x - other.x, a.y - other.y) || 1;
  shift((to.x - from.x) / 2, (to.y - from.y) / 2);
  nearer(apart(to) / apart(from), { x: (to.x + other.x) / 2, y: (to.y + other.y) / 2 });
}

function move(event: PointerEvent): void {
  const from = fingers.get(event.pointerId);
  if (!from || !press) return;
  const to = at(event);
  if (Math.hypot(to.x - press.x, to.y - press.y) > DRAG_PX) press.moved = true;
  if (!press.moved) return;
  fingers.set(event.pointerId, to);
  const [dx, dy] = [to.x - from.x, to.y - from.y];
  if (fingers.size > 1) pinch(event, from, to);
  else if (press.pan) shift(dx, dy);
  else look(yaw - TURN_DEG_PX * dx, pitch + TURN_DEG_PX * dy);
}

function release(event: PointerEvent): void {
  const held = fingers.delete(event.pointerId);
  if (!held || !press || fingers.size) return;
  const { moved, pan } = press;
  press = null;
  if (!moved && !pan && event.type === "pointerup") clicked(at(event));
}

const TURNS: Record<string, [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

function onKey(event: KeyboardEvent): void {
  if (event.target !== field() || event.metaKey || event.altKey) return;
  const turn = TURNS[event.key];
  if (turn && event.ctrlKey) look(yaw + KEY_TURN_DEG * turn[0], pitch + KEY_TURN_DEG * turn[1]);
  else if (["+", "="].includes(event.key) && !event.ctrlKey) nearer(NEARER);
  else if (["-", "−"].includes(event.key) && !event.ctrlKey) nearer(1 / NEARER);
  else return;
  event.preventDefault();
}

function onButton(event: MouseEvent): void {
  const button = event.target instanceof Element ? event.target.closest("button") : null;
  const { yaw: toYaw, pitch: toPitch, zoom } = button?.dataset ?? {};
  if (!field() || !button) return;
  if (toYaw !== undefined) look(Number(toYaw), Number(toPitch));
  else if (zoom) nearer(zoom === "nearer" ? NEARER : 1 / NEARER);
}

// `draw` is called whenever the sculpt is seen from elsewhere, `click` where it was clicked.
export function startSpace(draw: () => void, click: (at: Point2) => void): void {
  redraws.push(draw);
  clicked = click;
  eachTime(() => void open());
  document.addEventListener("pointerdown", down);
  document.addEventListener("pointermove", move);
  document.addEventListener("pointerup", release);
  document.addEventListener("pointercancel", release);
  document.addEventListener("keydown", onKey);
  document.addEventListener("click", onButton);
  document.addEventListener("contextmenu", (event) => {
    if (isOver(event)) event.preventDefault();
  });
  document.addEventListener(
    "wheel",
    (event) => {
      if (!isOver(event) || !event.ctrlKey) return;
      event.preventDefault();
      nearer(Math.exp(-event.deltaY / 300), at(event));
    },
    { passive: false },
  );
  addEventListener("resize", redraw);
}
