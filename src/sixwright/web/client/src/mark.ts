// A still on which landmarks are marked, by mouse and by keys; each mark is written at once.

import { type Place, drawMagnifier, drawMarks } from "./mark_draw";
import { againAt, againState, arrange, isBlind, putAgain, startAgain, takeBackAgain } from "./mark_again";
import { field, keyOf, origin, placeAt, read, section, size, spotOf, spots, within } from "./mark_spots";
import { arrangeOutline, isOutlining, outlineKey, outlineWords, startOutlines } from "./mark_outline";
import { keepSize, resize, startTouch } from "./mark_view";
import { eachTime, tell } from "./page";
import { type About, Queue } from "./queue";
import { openAt } from "./scroll";
import { STEPS, beside, nextOpen, showAsked } from "./steps";

const SURE = ["sharp", "soft", "guess"];
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
const queue = new Queue<Mark>({ one: "mark", done: "marked" }, "/mark", bodyOf, about, render);

// What is marked already, or about to be.
function placeOf(key: string): Place | null {
  if (isBlind()) return againAt(key);
  const waiting = queue.unwritten.get(key);
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
  return queue.unwritten.get(key)?.state ?? spotOf(key)?.dataset["state"] ?? "";
}

const isOpen = (key: string): boolean => ["", "proposed"].includes(stateOf(key));

// How sure a mark that stands is said to be; of another, what was said last.
function sureOf(key: string): string {
  if (isBlind() || stateOf(key) !== "seen") return sure;
  return queue.unwritten.get(key)?.sure || spotOf(key)?.dataset["sure"] || sure;
}

function ask(key: string): void {
  asked = key;
  hand = "";
  cross = null;
  render();
}

// The landmark that comes next and is not settled yet; the same one where all are.
function askNext(): void {
  ask(nextOpen(spots().map(keyOf), asked, isOpen));
}

// Where the keys are: on the mark in hand, on the mark of what is asked, or at the cross.
function held(): { key: string; place: Place | null } {
  const key = hand || asked;
  return { key, place: placeOf(key) };
}

function atCross(): Place {
  const [first, { x, y }] = [origin(), size()];
  const middle = { x: first.x + x / 2, y: first.y + y / 2 };
  return cross ?? expectedOf(asked) ?? placeOf(queue.newest) ?? middle;
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
  showAsked(document.querySelector<HTMLElement>(".spots"), spots(), spotOf(asked));
  for (const button of root.querySelectorAll<HTMLElement>("[data-sure-as]")) {
    button.setAttribute("aria-pressed", String(button.dataset["sureAs"] === sureOf(asked)));
  }
  const words = root.querySelector(".asked");
  if (words && words.textContent !== said()) words.textContent = said();
  const { key } = held();
  const marks = spots().flatMap((spot) => {
    const at = placeOf(keyOf(spot));
    return at ? [{ at, inHand: keyOf(spot) === key, expected: false }] : [];
  });
  if (!placeOf(asked)) {
    const at = cross ?? expectedOf(asked);
    if (at) marks.push({ at, inHand: !hand, expected: !cross });
  }
  drawMarks(root, marks, Number(root.dataset["arm"]));
  magnify(root);
}

// What the magnifier shows, and the place that is to be looked at, are not to lie under it.
function magnify(root: HTMLElement): void {
  const at = pointer ?? held().place ?? atCross();
  const looked = placeOf(asked) ?? cross ?? expectedOf(asked);
  drawMagnifier(root, at, size(), origin(), looked ? [at, looked] : [at]);
}

function about(key: string): About {
  const { name = "", stands = "" } = spotOf(key)?.dataset ?? {};
  return { name, stands };
}

function bodyOf(mark: Mark): object {
  const { landmark, side } = spotOf(mark.key)?.dataset ?? {};
  const place = mark.state === "seen" ? mark.place : null;
  return {
    still: section()?.dataset["still"],
    landmark,
    side,
    x_px: place ? String(place.x) : "",
    y_px: place ? String(place.y) : "",
    sure: mark.sure,
    state: mark.state,
  };
}

function put(mark: Mark): void {
  if (isBlind()) putAgain(mark.key, mark.place);
  else queue.put(mark);
}

function mark(place: Place): void {
  put({ key: asked, place: within(place), state: "seen", sure: sureOf(asked) });
}

function leaveOut(state: string): void {
  queue.settle();
  put({ key: asked, place: null, state, sure });
  askNext();
}

// Enter: what is proposed, expected or under the cross is marked; what is marked stays.
function confirm(): void {
  queue.settle();
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
    if (isBlind()) putAgain(key, to);
    else queue.hold({ key, place: to, state: "seen", sure: sureOf(key) });
  } else {
    hand = "";
    cross = to;
  }
  render();
}

// How sure the mark that is chosen is; where none stands, those that come.
function setSure(to: string): void {
  queue.settle();
  const place = placeOf(asked);
  if (place && stateOf(asked) === "seen") put({ key: asked, place, state: "seen", sure: to });
  else sure = to;
  render();
}

function takeBack(): void {
  if (isBlind()) ask(takeBackAgain() || asked);
  else queue.takeBack(ask);
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
  s: () => setSure(SURE[(SURE.indexOf(sureOf(asked)) + 1) % SURE.length] ?? "sharp"),
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
    queue.settle();
    ask(beside(spots().map(keyOf), asked, event.shiftKey ? -1 : 1));
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
    queue.settle();
    ask(keyOf(spot));
    field()?.focus({ preventScroll: true });
  } else if (button) {
    const { sureAs, markAs } = button.dataset;
    if (sureAs) setSure(sureAs);
    else if (markAs) act(markAs);
  } else if (place && !isTouch(event) && !isOutlining()) {
    queue.settle();
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
  queue.settle();
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
  if (root && (pointer || was)) magnify(root);
}

// What waits for its last arrow key is written before the page goes.
export function startMarking(): void {
  eachTime(() => {
    keepSize();
    arrange();
    arrangeOutline();
    render();
  });
  openAt(section(), field());
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
  document.addEventListener("load", (event) => {
    if (event.target instanceof HTMLImageElement && "picture" in event.target.dataset) render();
  }, true);
}
