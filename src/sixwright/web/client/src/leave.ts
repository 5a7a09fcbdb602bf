// A page is left once what was changed on it is written; where something cannot be, only after the
// browser has asked.

// What holds a page: work that is soon done, or what waits for the producer.
export type Hold = "" | "soon" | "stays";

const MOST_MS = 4000; // a link waits so long for what is being written
const LOOK_MS = 40;
const WAITS = "One moment: what was changed on this page is being written.";

const holders: (() => Hold)[] = [];

// `holds` is asked whenever the page is about to be left.
export function holdPage(holds: () => Hold): void {
  holders.push(holds);
}

const held = (hold: Hold): boolean => holders.some((holds) => holds() === hold);
const isHeld = (): boolean => held("soon") || held("stays");
const pause = (): Promise<void> => new Promise((done) => setTimeout(done, LOOK_MS));

async function goOnceWritten(link: HTMLAnchorElement, say: (words: string) => void): Promise<void> {
  const end = performance.now() + MOST_MS;
  say(WAITS);
  await pause(); // a field that just lost the keyboard begins to be saved
  while (held("soon") && performance.now() < end) await pause();
  location.assign(link.href);
}

// A link of ours that would take this page's place, followed by a plain click.
function linkOf(event: MouseEvent): HTMLAnchorElement | null {
  const plain = !event.button && !event.ctrlKey && !event.metaKey && !event.shiftKey && !event.altKey;
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  if (!plain || !link?.href || link.target || link.hasAttribute("download")) return null;
  const isHere = link.pathname === location.pathname && link.search === location.search && link.hash;
  return link.origin === location.origin && !isHere ? link : null;
}

export function startLeaving(say: (words: string) => void): void {
  document.addEventListener("click", (event) => {
    const link = linkOf(event);
    if (!link || event.defaultPrevented || !isHeld()) return;
    event.preventDefault();
    void goOnceWritten(link, say);
  });
  addEventListener("beforeunload", (event) => {
    if (isHeld()) event.preventDefault();
  });
}
