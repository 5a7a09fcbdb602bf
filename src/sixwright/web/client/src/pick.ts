// The rows of a table that are picked, to be changed together; they stay picked on a newer page.

import { eachTime } from "./page";

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
}

export function startPick(): void {
  eachTime(arrange);
  document.addEventListener("change", onChange);
}
