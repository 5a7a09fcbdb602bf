// How large a still is shown, and a finger on it: a tap puts the cross, a drag moves it finely.

import type { Place } from "./mark_draw";
import { field, origin, placeAt, size, within } from "./mark_spots";

const SIZES = [1, 1.5, 2, 3, 4, 6];
const FINE = 0.25; // of the way that a finger goes, the cross goes
const TAP_PX = 8;

let shown = 0; // of SIZES

// Larger or smaller, with a place of the still kept in the middle of what is seen.
export function resize(step: number, at: Place): void {
  shown = Math.min(Math.max(shown + step, 0), SIZES.length - 1);
  keepSize();
  const [still, first, { x, y }] = [field(), origin(), size()];
  const frame = still?.parentElement;
  if (!still || !frame) return;
  frame.scrollLeft = ((at.x - first.x) / x) * still.clientWidth - frame.clientWidth / 2;
  frame.scrollTop = ((at.y - first.y) / y) * still.clientHeight - frame.clientHeight / 2;
}

// The page that was drawn anew does not know how large the still is.
export function keepSize(): void {
  const still = field();
  if (still) still.style.width = `${100 * (SIZES[shown] ?? 1)}%`;
}

interface Finger {
  id: number;
  x: number;
  y: number;
  from: Place;
  hasMoved: boolean;
}

let finger: Finger | null = null;

// Calls with where the cross is to be, while a finger is on the still and when it taps.
export function startTouch(cross: () => Place, put: (place: Place) => void): void {
  const isFinger = (event: PointerEvent): boolean => event.pointerType === "touch";
  document.addEventListener("pointerdown", (event) => {
    const over = event.target instanceof Element && event.target.closest("[data-field]");
    if (!over || !isFinger(event)) return;
    if (finger) {
      // A second finger zooms the page: what the first one began is no drag, and no tap.
      if (finger.hasMoved) put(finger.from);
      finger = null;
      return;
    }
    finger = { id: event.pointerId, x: event.clientX, y: event.clientY, from: cross(), hasMoved: false };
  });
  document.addEventListener("pointermove", (event) => {
    const still = field();
    if (!finger || finger.id !== event.pointerId || !still) return;
    const [dx, dy] = [event.clientX - finger.x, event.clientY - finger.y];
    finger.hasMoved ||= Math.hypot(dx, dy) > TAP_PX;
    if (!finger.hasMoved) return;
    const scale = (FINE * size().x) / still.clientWidth;
    put(within({ x: finger.from.x + scale * dx, y: finger.from.y + scale * dy }));
  });
  document.addEventListener("pointerup", (event) => {
    if (!finger || finger.id !== event.pointerId) return;
    const place = finger.hasMoved ? null : placeAt(event);
    finger = null;
    if (place) put(place);
  });
  document.addEventListener("pointercancel", () => {
    finger = null;
  });
}
