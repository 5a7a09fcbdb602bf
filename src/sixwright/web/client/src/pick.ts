// The rows of a table that are picked, to be changed together; they stay picked on a newer page.

import { eachTime, tell } from "./page";

const PICK = "input[data-pick]";
const picked = new Set<string>();

function boxes(): HTMLInputElement[] {
  return [...document.querySelectorAll<HTMLInputElement>(PICK)];
}

// The ids of the rows that are picked and are still there.
export function rowsPicked(): string[] {
  return boxes()
    .map((box) => box.dataset["pick"] ?? "")
    .filter((id) => picked.has(id));
}

function arrange(): void {
  for (const box of boxes()) box.checked = picked.has(box.dataset["pick"] ?? "");
}

function onChange(event: Event): void {
  const box = event.target;
  if (!(box instanceof HTMLInputElement) || !box.matches(PICK)) return;
  const id = box.dataset["pick"] ?? "";
  if (box.checked) picked.add(id);
  else picked.delete(id);
  tellPicked(box.checked);
}

// What the ticks are for stands above the table: it is unfolded, and said.
function tellPicked(isPicked: boolean): void {
  const many = document.querySelector<HTMLDetailsElement>("details.many");
  if (!many) return;
  if (isPicked) many.open = true;
  const count = rowsPicked().length;
  const rows = count === 1 ? "1 row is ticked" : `${count} rows are ticked`;
  const words = many.querySelector("summary")?.textContent ?? "";
  tell(count ? `${rows}: “${words}”, above the table, changes them.` : "");
}

export function startPick(): void {
  eachTime(arrange);
  document.addEventListener("change", onChange);
}
