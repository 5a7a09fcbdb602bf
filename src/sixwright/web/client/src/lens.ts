// A sculpt over the still that is chosen: swapped, faded and outlined, by mouse and by keys.

import { eachTime } from "./page";

const FADE = 10;

let chosen = "";
let fade = 55;
let marks = true;
let began = 0;
let came = 0;

const root = (): HTMLElement | null => document.querySelector<HTMLElement>("[data-lens]");
const layer = (part: string): HTMLImageElement | null =>
  root()?.querySelector<HTMLImageElement>(`[data-layer="${part}"]`) ?? null;
const stills = (): HTMLButtonElement[] => [
  ...document.querySelectorAll<HTMLButtonElement>("[data-lens-still]"),
];

// How many of the still's pictures are drawn, and about how long the others take.
function tellProgress(): void {
  const told = root()?.querySelector<HTMLElement>("[data-lens-told]");
  const images = [...(root()?.querySelectorAll<HTMLImageElement>("[data-layer]") ?? [])];
  if (!told) return;
  const done = images.filter((image) => image.complete && image.naturalWidth).length;
  if (done === images.length) {
    told.textContent = "";
    return;
  }
  const each = came ? (performance.now() - began) / came / 1000 : 0;
  const left = Math.ceil(each * (images.length - done));
  const time = came ? ` About ${left} s more.` : "";
  told.textContent = `${done} of ${images.length} pictures of this still are drawn.${time}`;
}

function render(): void {
  const box = root();
  if (!box) return;
  const here = stills().find((each) => each.dataset["lensStill"] === chosen) ?? stills()[0];
  if (!here) return;
  chosen = here.dataset["lensStill"] ?? "";
  for (const each of stills()) {
    if (each === here) each.setAttribute("aria-current", "true");
    else each.removeAttribute("aria-current");
  }
  const name = box.querySelector("[data-lens-name]");
  if (name) name.textContent = chosen;
  const addresses = (here.dataset["layers"] ?? "").trim().split(" ");
  ["still", "sculpt", "marks"].forEach((part, i) => {
    const image = layer(part);
    const address = addresses[i] ?? "";
    if (!image || image.getAttribute("src") === address) return;
    began = performance.now();
    came = 0;
    image.src = address;
  });
  const [sculpt, over] = [layer("sculpt"), layer("marks")];
  if (sculpt) sculpt.style.opacity = String(fade / 100);
  if (over) over.hidden = !marks;
  const range = box.querySelector<HTMLInputElement>("[data-lens-fade]");
  const check = box.querySelector<HTMLInputElement>("[data-lens-marks]");
  if (range) range.value = String(fade);
  if (check) check.checked = marks;
  tellProgress();
}

function choose(still: string): void {
  chosen = still;
  render();
}

function beside(by: number): void {
  const all = stills().map((each) => each.dataset["lensStill"] ?? "");
  choose(all[(all.indexOf(chosen) + by + all.length) % all.length] ?? chosen);
}

// The still alone, then the sculpt alone, and so on.
function swap(): void {
  fadeTo(fade > 50 ? 0 : 100);
}

function fadeTo(value: number): void {
  fade = Math.max(0, Math.min(100, value));
  render();
}

function toggleMarks(): void {
  marks = !marks;
  render();
}

const KEYS: Record<string, () => void> = {
  s: swap,
  o: toggleMarks,
  ArrowUp: () => beside(-1),
  ArrowDown: () => beside(1),
  ArrowLeft: () => fadeTo(fade - FADE),
  ArrowRight: () => fadeTo(fade + FADE),
};

function onKey(event: KeyboardEvent): void {
  const inField = event.target instanceof Element && event.target.closest("[data-lens-field]");
  if (!inField || event.ctrlKey || event.metaKey || event.altKey) return;
  const does = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  if (!does) return;
  does();
  event.preventDefault();
}

export function startLens(): void {
  eachTime(render);
  document.addEventListener("keydown", onKey);
  document.addEventListener("click", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    const still = target?.closest<HTMLElement>("[data-lens-still]")?.dataset["lensStill"];
    if (still) choose(still);
    else if (target?.closest("[data-lens-swap]")) swap();
  });
  document.addEventListener("input", (event) => {
    const control = event.target;
    if (!(control instanceof HTMLInputElement)) return;
    if ("lensFade" in control.dataset) fadeTo(Number(control.value));
    else if ("lensMarks" in control.dataset) toggleMarks();
  });
  for (const kind of ["load", "error"]) {
    document.addEventListener(
      kind,
      (event) => {
        if (!(event.target instanceof HTMLImageElement) || !event.target.dataset["layer"]) return;
        came += 1;
        tellProgress();
      },
      true,
    );
  }
}
