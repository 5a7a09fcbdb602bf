// The one entry of the client bundle. Pages work without it: it adds keyboard niceties only.

// What scrolls inside the page can be reached with the keyboard; what does not scroll is no stop.
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

markScrollers();
unfoldTarget();
addEventListener("resize", markScrollers);
addEventListener("hashchange", unfoldTarget);

// Says to style sheets and tests that the bundle ran.
document.documentElement.dataset["client"] = "ready";

export {};
