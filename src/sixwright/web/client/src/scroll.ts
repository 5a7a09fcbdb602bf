// What scrolls inside the page can be reached with the keyboard; a link unfolds what it names.

import { eachTime } from "./page";

// What scrolls is a stop of the keyboard, unless something inside it already is.
function markScrollers(): void {
  for (const plate of document.querySelectorAll<HTMLElement>(".plate.table, .sheet")) {
    const scrolls =
      plate.scrollWidth > plate.clientWidth + 1 || plate.scrollHeight > plate.clientHeight + 1;
    if (scrolls && getComputedStyle(plate).overflowX !== "visible") {
      plate.tabIndex = 0;
    } else {
      plate.removeAttribute("tabindex");
    }
  }
}

// A link to something folded away unfolds it.
function unfoldTarget(): void {
  const target = location.hash && document.getElementById(location.hash.slice(1));
  if (!target) return;
  for (let fold = target.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) {
    fold.open = true;
  }
  target.scrollIntoView();
}

export function startScroll(): void {
  eachTime(markScrollers);
  unfoldTarget();
  addEventListener("resize", markScrollers);
  addEventListener("hashchange", unfoldTarget);
}
