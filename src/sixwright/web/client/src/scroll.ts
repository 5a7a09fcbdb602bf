// What scrolls inside the page can be reached with the keyboard, and says so; a link unfolds what
// it names.

import { eachTime } from "./page";

const SCROLLERS = ".plate.table, .sheet";

// Where more of it lies: to the right or the left, below or above.
function more(plate: HTMLElement): string {
  const { scrollLeft, scrollTop, scrollWidth, scrollHeight, clientWidth, clientHeight } = plate;
  const sides = {
    right: scrollLeft + clientWidth < scrollWidth - 1,
    left: scrollLeft > 1,
    down: scrollTop + clientHeight < scrollHeight - 1,
    up: scrollTop > 1,
  };
  return Object.entries(sides)
    .filter(([, there]) => there)
    .map(([side]) => side)
    .join(" ");
}

// What scrolls is a stop of the keyboard, unless something inside it already is; it says where
// more of it lies, for the style sheet.
function mark(plate: HTMLElement): void {
  const scrolls = getComputedStyle(plate).overflowX !== "visible";
  const sides = scrolls ? more(plate) : "";
  if (sides) plate.dataset["more"] = sides;
  else delete plate.dataset["more"];
  if (sides && !plate.querySelector("button:not([hidden]), a[href], input, select")) {
    plate.tabIndex = 0;
  } else {
    plate.removeAttribute("tabindex");
  }
}

function markAll(): void {
  for (const plate of document.querySelectorAll<HTMLElement>(SCROLLERS)) mark(plate);
}

// Scrolling is told by no event that rises from what scrolls, so it is listened for on its way in.
function onScroll(event: Event): void {
  const plate = event.target;
  if (plate instanceof HTMLElement && plate.matches(SCROLLERS)) mark(plate);
}

// A row that a long table does not show here is asked for, once.
function askForRow(anchor: string): void {
  const asked = new URLSearchParams(location.search);
  if (!document.querySelector("[data-cut]") || asked.get("at") === anchor) return;
  asked.set("at", anchor);
  location.search = asked.toString();
}

// A link to something folded away unfolds it.
function unfoldTarget(): void {
  const anchor = location.hash.slice(1);
  const target = anchor && document.getElementById(anchor);
  if (!target) {
    if (anchor) askForRow(anchor);
    return;
  }
  for (let fold = target.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) {
    fold.open = true;
  }
  target.scrollIntoView();
}

export function startScroll(): void {
  eachTime(markAll);
  unfoldTarget();
  addEventListener("resize", markAll);
  document.addEventListener("scroll", onScroll, { capture: true, passive: true });
  addEventListener("hashchange", unfoldTarget);
}

// Where the window is too low for title and work, the page opens at the work: `section`, of which
// `field` is to be seen whole above the strip at the foot.
export function openAt(section: HTMLElement | null, field: HTMLElement | null): void {
  const foot = field?.getBoundingClientRect().bottom ?? 0;
  const strip = document.querySelector(".strip")?.getBoundingClientRect().top ?? innerHeight;
  if (foot > strip && !scrollY) scrollBy({ top: section?.getBoundingClientRect().top ?? 0, behavior: "instant" });
}
