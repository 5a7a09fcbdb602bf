// The arrow keys move between the values of a table; the tab key enters and leaves it.

import { bringIntoSight, eachTime } from "./page";

const EDIT = "button.edit:not([hidden])";

function editsIn(element: Element): HTMLButtonElement[] {
  return [...element.querySelectorAll<HTMLButtonElement>(EDIT)];
}

// One value of each table is a stop of the tab key: the one that was last at.
function makeStop(table: Element, stop: HTMLButtonElement): void {
  for (const edit of editsIn(table)) edit.tabIndex = edit === stop ? 0 : -1;
}

function arrange(): void {
  for (const table of document.querySelectorAll("main table")) {
    const edits = editsIn(table);
    const stop = edits.find((edit) => edit.getAttribute("tabindex") === "0") ?? edits[0];
    if (stop) makeStop(table, stop);
  }
}

// The value above or below: that of the nearest row which has one in the same column.
function across(edit: HTMLButtonElement, down: boolean): HTMLButtonElement | null {
  const cell = edit.closest<HTMLTableCellElement>("td, th");
  const table = edit.closest("table");
  if (!cell || !table) return null;
  const rows = [...table.rows];
  const at = rows.indexOf(cell.parentElement as HTMLTableRowElement);
  const further = down ? rows.slice(at + 1) : rows.slice(0, at).reverse();
  for (const row of further) {
    const found = row.cells[cell.cellIndex]?.querySelector<HTMLButtonElement>(EDIT);
    if (found) return found;
  }
  return null;
}

// The value before or after, row by row.
export function beside(edit: HTMLButtonElement, after: boolean): HTMLButtonElement | null {
  const table = edit.closest("table");
  const edits = table ? editsIn(table) : [];
  const at = edits.indexOf(edit);
  return (after ? edits[at + 1] : edits[at - 1]) ?? null;
}

function inRow(edit: HTMLButtonElement, last: boolean): HTMLButtonElement | null {
  const row = edit.closest("tr");
  const edits = row ? editsIn(row) : [];
  return (last ? edits[edits.length - 1] : edits[0]) ?? null;
}

function target(edit: HTMLButtonElement, key: string): HTMLButtonElement | null {
  switch (key) {
    case "ArrowUp":
    case "ArrowDown":
      return across(edit, key === "ArrowDown");
    case "ArrowLeft":
    case "ArrowRight":
      return beside(edit, key === "ArrowRight");
    case "Home":
    case "End":
      return inRow(edit, key === "End");
    default:
      return null;
  }
}

function onKey(event: KeyboardEvent): void {
  const edit = event.target;
  if (!(edit instanceof HTMLButtonElement) || !edit.matches(EDIT)) return;
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const next = target(edit, event.key);
  if (next) {
    event.preventDefault();
    next.focus({ preventScroll: true });
    bringIntoSight(next.closest("td, th"));
  }
}

function onFocus(event: FocusEvent): void {
  const edit = event.target;
  if (!(edit instanceof HTMLButtonElement) || !edit.matches(EDIT)) return;
  const table = edit.closest("table");
  if (table) makeStop(table, edit);
}

export function startGrid(): void {
  eachTime(arrange);
  document.addEventListener("keydown", onKey);
  document.addEventListener("focusin", onFocus);
}
