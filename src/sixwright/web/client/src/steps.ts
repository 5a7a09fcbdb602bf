// Going from landmark to landmark of a list, and what the arrow keys mean.

export const STEPS: Record<string, [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

// The one after it that is open; itself where none is.
export function nextOpen(keys: string[], from: string, isOpen: (key: string) => boolean): string {
  const at = keys.indexOf(from);
  const ordered = [...keys.slice(at + 1), ...keys.slice(0, at + 1)];
  return ordered.find(isOpen) ?? from;
}

export function beside(keys: string[], from: string, by: number): string {
  return keys[(keys.indexOf(from) + by + keys.length) % keys.length] ?? from;
}

// The list shows which is asked for and keeps it in sight; the page stays where it is.
export function showAsked(list: HTMLElement | null, each: HTMLElement[], asked: HTMLElement | undefined): void {
  for (const one of each) {
    if (one === asked) one.setAttribute("aria-current", "step");
    else one.removeAttribute("aria-current");
  }
  if (!list || !asked) return;
  const [outer, inner] = [list.getBoundingClientRect(), asked.getBoundingClientRect()];
  if (inner.bottom > outer.bottom) list.scrollTop += inner.bottom - outer.bottom;
  if (inner.top < outer.top) list.scrollTop -= outer.top - inner.top;
}
