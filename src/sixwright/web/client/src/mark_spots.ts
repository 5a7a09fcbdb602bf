// What the page says of a still and of each of its landmarks.

import type { Place } from "./mark_draw";

export const section = (): HTMLElement | null => document.querySelector<HTMLElement>("[data-marking]");
export const field = (): HTMLElement | null => document.querySelector<HTMLElement>("[data-field]");

export const size = (): Place => ({
  x: Number(section()?.dataset["width"]),
  y: Number(section()?.dataset["height"]),
});

// Where what is shown of the still begins: black bars are left out.
export const origin = (): Place => ({
  x: Number(section()?.dataset["left"]),
  y: Number(section()?.dataset["top"]),
});

export const spots = (): HTMLButtonElement[] => [
  ...document.querySelectorAll<HTMLButtonElement>("button.spot"),
];

export const keyOf = (spot: HTMLElement): string =>
  `${spot.dataset["landmark"] ?? ""}/${spot.dataset["side"] ?? ""}`;

export const spotOf = (key: string): HTMLButtonElement | undefined =>
  spots().find((spot) => keyOf(spot) === key);

export function read(spot: HTMLElement, x: string, y: string): Place | null {
  const [across, down] = [spot.dataset[x], spot.dataset[y]];
  return across && down ? { x: Number(across), y: Number(down) } : null;
}

// A place within what is shown of the still.
export function within({ x, y }: Place): Place {
  const [first, most] = [origin(), size()];
  const clip = (value: number, start: number, long: number): number =>
    Math.min(Math.max(value, start), start + long - 1);
  return { x: clip(x, first.x, most.x), y: clip(y, first.y, most.y) };
}

// Where on the still a pointer is.
export function placeAt(event: MouseEvent): Place | null {
  const box = field()?.getBoundingClientRect();
  if (!box || !box.width || !box.height) return null;
  const [first, { x, y }] = [origin(), size()];
  return within({
    x: first.x + ((event.clientX - box.left) / box.width) * x - 0.5,
    y: first.y + ((event.clientY - box.top) / box.height) * y - 0.5,
  });
}
