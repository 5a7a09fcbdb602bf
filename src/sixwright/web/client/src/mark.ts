// A still on which landmarks are marked, by mouse and by keys; each mark is written at once.

import { type Place, drawMagnifier, drawMarks } from "./mark_draw";
import { againAt, againState, arrange, isBlind, putAgain, startAgain, takeBackAgain } from "./mark_again";
import { field, keyOf, origin, placeAt, read, section, size, spotOf, spots, within } from "./mark_spots";
import { arrangeOutline, isOutlining, outlineKey, outlineWords, startOutlines } from "./mark_outline";
import { keepSize, resize, startTouch } from "./mark_view";
import { eachTime, refreshPage, tell } from "./page";
import { send, show } from "./send";
import { isTrying } from "./trial";

const PAUSE_MS = 250; // after the last arrow key, before the move is written
const RETRY_MS = 1000;
const SURE = ["sharp", "soft", "guess"];
const STEPS: Record<string, [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

interface Mark {
  key: string;
  place: Place | null;
  state: string;
  sure: string;
}

let asked = ""; // the landmark that the next click marks
let hand = ""; // the mark that the arrow keys move after a click; empty: that of what is asked
let cross: Place | null = null; // where the keys would mark what is asked
let pointer: Place | null = null;
let sure = "sharp";
let moved: { mark: Mark; timer: number } | null = null;
let queue: Promise<void> = Promise.resolve();
const unwritten = new Map<string, Mark>();
const made: string[] = [];

// What is marked already, or about to be.
function placeOf(key: string): Place | null {
  if (isBlind()) return againAt(key);
  const waiting = unwritten.get(key);
  if (waiting) return waiting.place;
  const spot = spotOf(key);
  return spot ? read(spot, "x", "y") : null;
}

function expectedOf(key: string): Place | null {
  const spot = isBlind() ? undefined : spotOf(key);
  return spot ? read(spot, "expectedX", "expectedY") : null;
}

function stateOf(key: string): string {
  if (isBlind()) return againState(key);
  return unwritten.get(key)?.state ?? spotOf(key)?.dataset["state"] ?? "";
}

const isOpen = (key: string): boolean => ["", "proposed"].includes(stateOf(key));

function ask(key: string): void {
  asked = key;
  hand = "";
  cross = null;
  render();
}

// The landmark that comes next and is not settled yet; the same one where all are.
function askNext(): void {
  const keys = spots().map(keyOf);
  const at = keys.indexOf(asked);
  const ordered = [...keys.slice(at + 1), ...keys.slice(0, at + 1)];
  ask(ordered.find(isOpen) ?? asked);
}

function askBeside(step: number): void {
  const keys = spots().map(keyOf);
  ask(keys[(keys.indexOf(asked) + step + keys.length) % keys.length] ?? asked);
}

// Where the keys are: on the mark in hand, on the mark of what is asked, or at the cross.
function held(): { key: string; place: Place | null } {
  const key = hand || asked;
  return { key, place: placeOf(key) };
}

function atCross(): Place {
  const [first, { x, y }] = [origin(), size()];
  const middle = { x: first.x + x / 2, y: first.y + y / 2 };
  return cross ?? expectedOf(asked) ?? placeOf(made.at(-1) ?? "") ?? middle;
}

function said(): string {
  if (isOutlining()) return outlineWords();
  const spot = spotOf(asked);
  if (!spot) return "";
  const { name = "", meaning = "" } = spot.dataset;
  const place = hand ? null : (placeOf(asked) ?? cross);
  const where = place ? ` At ${place.x.toFixed(2)} across, ${place.y.toFixed(2)} down.` : "";
  const hint = isOpen(asked) && expectedOf(asked) ? " Look at the dashed cross: Enter confirms it." : "";
  return `${name}: ${meaning}.${hint}${where}`;
}

function render(): void {
  const root = section();
  if (!root) return;
  if (!spotOf(asked)) asked = spots().map(keyOf).find(isOpen) ?? spots().map(keyOf)[0] ?? "";
  for (const spot of spots()) {
    if (keyOf(spot) === asked) spot.setAttribute("aria-current", "step");
    else spot.removeAttribute("aria-current");
  }
  for (const button of root.querySelectorAll<HTMLElement>("[data-sure-as]")) {
    button.setAttribute("aria-pressed", String(button.dataset["sureAs"] === sure));
  }
  const words = root.querySelector(".asked");
  if (words && words.textContent !== said()) words.textContent = said();
  const { key, place } = held();
  const marks = spots().flatMap((spot) => {
    const at = placeOf(keyOf(spot));
    return at ? [{ at, inHand: keyOf(spot) === key, expected: false }] : [];
  });
  if (!placeOf(asked)) {
    const at = cross ?? expectedOf(asked);
    if (at) marks.push({ at, inHand: !hand, expected: !cross });
  }
  drawMarks(root, marks, Number(root.dataset["arm"]));
  drawMagnifier(root, pointer ?? place ?? atCross(), size(), origin());
  follow();
}

// The list of landmarks keeps the one that is asked for in sight, and the page stays where it is.
function follow(): void {
  const [list, spot] = [document.querySelector<HTMLElement>(".spots"), spotOf(asked)];
  if (!list || !spot) return;
  const [outer, inner] = [list.getBoundingClientRect(), spot.getBoundingClientRect()];
  if (inner.bottom > outer.bottom) list.scrollTop += inner.bottom - outer.bottom;
  if (inner.top < outer.top) list.scrollTop -= outer.top - inner.top;
}

function later(): Promise<void> {
  return new Promise((done) => setTimeout(done, RETRY_MS));
}

// Until it is written: where the server is away, the mark waits here and is sent again.
async function writeNow(mark: Mark): Promise<void> {
  const spot = spotOf(mark.key);
  if (!spot) return;
  const { landmark, side } = spot.dataset;
  const place = mark.state === "seen" ? mark.place : null;
  for (;;) {
    const answer = await send("/mark", {
      still: section()?.dataset["still"],
      landmark,
      side,
      x_px: place ? String(place.x) : "",
      y_px: place ? String(place.y) : "",
      sure: mark.sure,
      state: mark.state,
      was: spotOf(mark.key)?.dataset["stands"] ?? "",
    });
    if (answer.kind === "away" || answer.kind === "busy") {
      tell(`${answer.said} The mark waits here and is written as soon as it can be; keep this page open.`);
      await later();
      continue;
    }
    if (unwritten.get(mark.key) === mark) unwritten.delete(mark.key);
    if (answer.kind === "written") {
      show(answer);
    } else {
      await refreshPage();
      tell(answer.said);
    }
    render();
    return;
  }
}

function put(mark: Mark): void {
  if (isBlind()) {
    putAgain(mark.key, mark.place);
    return;
  }
  if (isTrying()) {
    tell("Marks are not tried: stop trying first. Nothing was written.");
    return;
  }
  unwritten.set(mark.key, mark);
  made.push(mark.key);
  queue = queue.then(() => writeNow(mark)).catch(() => undefined);
}

// Write a move that waits for its last arrow key.
function settle(): void {
  if (!moved) return;
  clearTimeout(moved.timer);
  const { mark } = moved;
  moved = null;
  put(mark);
}

function mark(place: Place): void {
  put({ key: asked, place: within(place), state: "seen", sure });
}

function leaveOut(state: string): void {
  settle();
  put({ key: asked, place: null, state, sure });
  askNext();
}

// Enter: what is proposed, expected or under the cross is marked; what is marked stays.
function confirm(): void {
  settle();
  if (!isOpen(asked) && !cross) {
    askNext();
    return;
  }
  const place = cross ?? placeOf(asked) ?? expectedOf(asked);
  if (!place) {
    cross = within(atCross());
    tell("Move the cross with the arrow keys, then press Enter.");
    render();
    return;
  }
  mark(place);
  askNext();
}

function move(event: KeyboardEvent, [dx, dy]: [number, number]): void {
  const far = event.altKey ? 0.25 : event.shiftKey ? 10 : event.ctrlKey ? 100 : 1;
  const { key, place } = held();
  pointer = null;
  const from = place ?? atCross();
  const to = within({ x: from.x + far * dx, y: from.y + far * dy });
  if (place && stateOf(key) === "seen") {
    if (moved && moved.mark.key !== key) settle();
    if (moved) clearTimeout(moved.timer);
    const its = unwritten.get(key)?.sure ?? spotOf(key)?.dataset["sure"] ?? sure;
    const shifted = { key, place: to, state: "seen", sure: its };
    if (isBlind()) putAgain(key, to);
    else unwritten.set(key, shifted);
    moved = { mark: shifted, timer: setTimeout(settle, PAUSE_MS) };
  } else {
    hand = "";
    cross = to;
  }
  render();
}

function setSure(to: string): void {
  settle();
  sure = to;
  const { key, place } = held();
  if (place && stateOf(key) === "seen") put({ key, place, state: "seen", sure });
  render();
}

function takeBack(): void {
  settle();
  if (isBlind()) {
    ask(takeBackAgain() || asked);
    return;
  }
  queue = queue
    .then(async () => {
      const key = made.pop();
      const undo = document.querySelector<HTMLElement>('button[data-back="undo"]')?.dataset["asks"];
      if (!key || !undo) {
        tell("Nothing was marked since this page was opened; Undo takes back what was done before.");
        return;
      }
      const answer = await send("/undo", JSON.parse(undo) as object);
      show(answer);
      ask(key);
    })
    .catch(() => undefined);
}

function act(what: string): void {
  if (what === "confirm") confirm();
  else if (what === "back") takeBack();
  else if (what === "larger" || what === "smaller") zoom(what === "larger" ? 1 : -1);
  else leaveOut(what);
}

function zoom(step: number): void {
  resize(step, held().place ?? atCross());
  render();
}

const KEYS: Record<string, () => void> = {
  Enter: confirm,
  Backspace: takeBack,
  h: () => leaveOut("hidden"),
  u: () => leaveOut("unsure"),
  s: () => setSure(SURE[(SURE.indexOf(sure) + 1) % SURE.length] ?? "sharp"),
  "+": () => zoom(1),
  "=": () => zoom(1), // plus without Shift, on many keyboards
  "-": () => zoom(-1),
  Escape: () => spotOf(asked)?.focus(),
};

function onKey(event: KeyboardEvent): void {
  if (event.target !== field()) return;
  if (isOutlining() && outlineKey(event)) {
    event.preventDefault();
    render();
    return;
  }
  const step = STEPS[event.key];
  const plain = !event.ctrlKey && !event.metaKey && !event.altKey;
  const does = plain ? KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key] : undefined;
  if (step && !event.metaKey) move(event, step);
  else if (event.key === "Tab" && plain) {
    settle();
    askBeside(event.shiftKey ? -1 : 1);
  } else if (does) does();
  else return;
  event.preventDefault();
}

function onClick(event: MouseEvent): void {
  const target = event.target instanceof Element ? event.target : null;
  const spot = target?.closest<HTMLElement>("button.spot");
  const button = target?.closest<HTMLElement>("[data-sure-as], [data-mark-as]");
  const place = target?.closest("[data-field]") ? placeAt(event) : null;
  if (spot) {
    settle();
    ask(keyOf(spot));
    field()?.focus({ preventScroll: true });
  } else if (button) {
    const { sureAs, markAs } = button.dataset;
    if (sureAs) setSure(sureAs);
    else if (markAs) act(markAs);
  } else if (place && !isTouch(event) && !isOutlining()) {
    settle();
    mark(place);
    const just = asked;
    askNext();
    hand = just;
    render();
  }
}

// A finger covers what it points at: it puts the cross, and the mark is confirmed.
const isTouch = (event: MouseEvent): boolean =>
  event instanceof PointerEvent && event.pointerType === "touch";

function putCross(place: Place): void {
  if (isOutlining()) return;
  settle();
  hand = "";
  pointer = null;
  cross = place;
  render();
}

function onPointer(event: PointerEvent): void {
  if (isTouch(event)) return;
  const over = event.target instanceof Element ? event.target.closest("[data-field]") : null;
  const was = pointer;
  pointer = over ? placeAt(event) : null;
  const root = section();
  if (root && (pointer || was)) drawMagnifier(root, pointer ?? held().place ?? atCross(), size(), origin());
}

// What waits for its last arrow key is written before the page goes.
export function startMarking(): void {
  eachTime(() => {
    keepSize();
    arrange();
    arrangeOutline();
    render();
  });
  startOutlines(render);
  startTouch(() => cross ?? placeOf(asked) ?? atCross(), putCross);
  startAgain((first) => {
    ask(first || (spots().map(keyOf).find(isOpen) ?? asked));
    section()?.scrollIntoView({ block: "start", behavior: "instant" });
    field()?.focus({ preventScroll: true });
  });
  document.addEventListener("keydown", onKey);
  document.addEventListener("click", onClick);
  document.addEventListener("pointermove", onPointer);
  addEventListener("pagehide", settle);
  document.addEventListener("load", (event) => {
    if (event.target instanceof HTMLImageElement && "picture" in event.target.dataset) render();
  }, true);
}
