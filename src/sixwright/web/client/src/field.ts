// A value opened as a field: what is typed, how it is saved or left, and what is said beside it.

import { beside } from "./grid";
import { type Hold, holdPage } from "./leave";
import { bringIntoSight, isKeyboardHere, tell } from "./page";
import { type Answer, show } from "./send";
import { writeOrTry } from "./trial";

interface Option {
  value: string;
  words: string;
}

type Control = HTMLInputElement | HTMLSelectElement;
export type Move = "stay" | "next" | "before" | "none";

let numbered = 0;
const open = new Set<Field>();

// A cell of several lines, as a field can show it; browsers drop the breaks, and join the words.
const inOneLine = (text: string): string => text.replace(/\s*[\r\n]+\s*/g, " ");

export class Field {
  private readonly control: Control;
  private readonly holder = document.createElement("span");
  private readonly cell: Element;
  private beneath: HTMLElement | null = null;
  private was: string;
  private saving = false;
  private closed = false;

  constructor(
    private readonly button: HTMLButtonElement,
    typed: string | null,
  ) {
    this.was = this.said("was");
    this.cell = button.closest("td, th") ?? button;
    this.control = this.said("kind") === "choice" ? this.select() : this.input(typed ?? this.was);
    this.lay(typed === null);
    open.add(this);
  }

  // What was typed and is not written yet.
  get hold(): Hold {
    if (this.saving) return "soon";
    return this.isUnchanged ? "" : "stays";
  }

  private get isUnchanged(): boolean {
    const said = this.control.value.trim();
    return said === this.was.trim() || said === inOneLine(this.was).trim();
  }

  private said(name: string): string {
    return this.button.dataset[name] ?? "";
  }

  private input(value: string): HTMLInputElement {
    const input = document.createElement("input");
    input.type = "text";
    if (this.said("kind") === "number") input.inputMode = "decimal";
    input.autocomplete = "off";
    input.value = inOneLine(value);
    return input;
  }

  private select(): HTMLSelectElement {
    const select = document.createElement("select");
    const shown = this.button.textContent?.trim() || this.was;
    select.append(new Option(this.was ? shown : "not known", this.was, true, true));
    void this.offer(select);
    return select;
  }

  // What the cell may be, asked of the server; what stands there is chosen.
  private async offer(select: HTMLSelectElement): Promise<void> {
    const place = { table: this.said("table"), id: this.said("row"), column: this.said("column") };
    try {
      const answer = await fetch(`/options?${new URLSearchParams(place)}`);
      const options = (await answer.json()) as Option[];
      const [chosen, shown] = [select.value, select.selectedOptions[0]?.text];
      const listed = options.map(({ value, words }) => new Option(words, value));
      // What is written in another manner than the options (“No”) stays chosen, and stays.
      const own = chosen && !options.some(({ value }) => value === chosen);
      select.replaceChildren(...(own ? [new Option(shown, chosen)] : []), ...listed);
      select.value = chosen;
    } catch {
      this.say("sixwright cannot be reached, so what this may be is not known here.");
    }
  }

  private lay(selectAll: boolean): void {
    const { control, holder } = this;
    control.setAttribute("aria-label", this.said("label"));
    holder.className = "field";
    holder.append(control);
    const unit = this.said("unit");
    if (unit) {
      const beside_ = document.createElement("span");
      beside_.className = "unit";
      beside_.id = `unit-${++numbered}`;
      beside_.textContent = unit;
      control.setAttribute("aria-describedby", beside_.id);
      holder.append(beside_);
    }
    this.cell.setAttribute("data-open", "");
    this.button.hidden = true;
    this.button.after(holder);
    control.addEventListener("keydown", (event) => this.onKey(event as KeyboardEvent));
    holder.addEventListener("focusout", () => setTimeout(() => this.onLeave()));
    if (control instanceof HTMLSelectElement) this.saveWhenPicked(control);
    control.focus({ preventScroll: true });
    bringIntoSight(holder);
    if (selectAll && control instanceof HTMLInputElement) control.select();
  }

  // With a pointer a choice is made by picking it; with keys, by Enter or Tab.
  private saveWhenPicked(select: HTMLSelectElement): void {
    let pointed = false;
    select.addEventListener("pointerdown", () => (pointed = true));
    select.addEventListener("keydown", () => (pointed = false));
    select.addEventListener("change", () => {
      if (pointed) void this.save("stay");
    });
  }

  private onKey(event: KeyboardEvent): void {
    if (event.isComposing) return; // the key belongs to the word that is being composed
    if (event.key === "Escape") {
      event.preventDefault();
      this.close(true);
    } else if (event.key === "Enter") {
      event.preventDefault();
      void this.save("stay");
    } else if (event.key === "Tab" && !this.beneath?.querySelector("button")) {
      event.preventDefault();
      void this.save(event.shiftKey ? "before" : "next");
    }
  }

  private onLeave(): void {
    const at = document.activeElement;
    const inside = this.holder.contains(at) || this.beneath?.contains(at);
    if (!inside && !this.closed && document.hasFocus()) void this.save("none");
  }

  private async save(move: Move): Promise<void> {
    if (this.saving || this.closed) return;
    if (this.isUnchanged) {
      this.close(move !== "none", move);
      return;
    }
    this.saving = true;
    this.holder.setAttribute("aria-busy", "true");
    const answer = await writeOrTry("/edit", {
      table: this.said("table"),
      id: this.said("row"),
      column: this.said("column"),
      was: this.was,
      value: this.control.value,
    });
    this.saving = false;
    this.holder.removeAttribute("aria-busy");
    if (answer.kind === "written" || answer.kind === "tried") {
      this.close(move !== "none", move, answer);
    } else {
      this.refuse(answer, move);
    }
  }

  private refuse(answer: Answer, move: Move): void {
    const isHere = isKeyboardHere(this.holder, this.beneath);
    const words = this.say(answer.said);
    this.control.setAttribute("aria-invalid", "true");
    if (answer.kind === "conflict" && answer.theirs !== undefined) this.ask(words, answer, isHere);
    if (!isHere) {
      tell(`${this.said("label")}: ${answer.said}`);
      return;
    }
    if (move !== "none") this.control.focus({ preventScroll: true });
    bringIntoSight(this.holder);
    bringIntoSight(this.beneath);
  }

  // The reason, in a row of its own beneath, so that it is never cut off.
  private say(text: string): HTMLElement {
    this.beneath?.remove();
    const words = document.createElement("p");
    words.id = `said-${++numbered}`;
    words.setAttribute("role", "alert");
    words.textContent = text;
    const described = [this.holder.querySelector(".unit")?.id, words.id].filter(Boolean).join(" ");
    this.control.setAttribute("aria-describedby", described);
    this.beneath = this.layBeneath(words);
    return words;
  }

  private layBeneath(words: HTMLElement): HTMLElement {
    const row = this.cell.closest("tr");
    if (!row) {
      const block = document.createElement("div");
      block.className = "beneath";
      block.dataset["said"] = "";
      block.append(words);
      this.holder.after(block);
      return block;
    }
    const beneath = document.createElement("tr");
    beneath.className = "beneath";
    beneath.dataset["said"] = "";
    const cell = beneath.insertCell();
    cell.colSpan = row.cells.length;
    cell.append(words);
    row.after(beneath);
    return beneath;
  }

  // Two values for one cell: the producer says which is to stand.
  private ask(words: HTMLElement, answer: Answer, isHere: boolean): void {
    const theirs = document.createElement("button");
    theirs.type = "button";
    theirs.textContent = `Keep ${answer.theirs || "it unknown"}`;
    theirs.addEventListener("click", () => {
      this.was = answer.theirs ?? "";
      this.button.dataset["was"] = this.was;
      this.close(true);
    });
    const mine = document.createElement("button");
    mine.type = "button";
    mine.textContent = `Write ${this.control.value.trim() || "that it is unknown"}`;
    mine.addEventListener("click", () => {
      this.was = answer.theirs ?? "";
      void this.save("stay");
    });
    const both = document.createElement("div");
    both.className = "deeds";
    both.append(theirs, mine);
    both.addEventListener("keydown", (event) => {
      if (event.key === "Escape") this.close(true);
    });
    words.after(both);
    if (isHere) theirs.focus();
  }

  private close(focus: boolean, move: Move = "stay", answer?: Answer): void {
    if (this.closed) return;
    this.closed = true;
    const isHere = isKeyboardHere(this.holder, this.beneath);
    open.delete(this);
    this.beneath?.remove();
    this.holder.remove();
    this.button.hidden = false;
    this.cell.removeAttribute("data-open");
    if (answer) show(answer);
    if (focus && isHere) this.standing(move, answer?.row)?.focus();
  }

  // The value to stand at afterwards, found again where the page was replaced.
  // A row may have another id then, where a cell that it is named by was written.
  private standing(move: Move, row?: string): HTMLButtonElement | null {
    const here = this.button.isConnected ? this.button : null;
    const same = valueOf(this.button, row ?? this.said("row")) ?? here;
    if (!same || move === "stay" || move === "none") return same;
    return beside(same, move === "next") ?? same;
  }
}

// The value in the same column of a row.
function valueOf(button: HTMLButtonElement, row: string): HTMLButtonElement | null {
  const { table, column } = button.dataset;
  for (const edit of document.querySelectorAll<HTMLButtonElement>("button.edit")) {
    const { dataset } = edit;
    if (dataset["table"] === table && dataset["row"] === row && dataset["column"] === column) {
      return edit;
    }
  }
  return null;
}

function onClick(event: MouseEvent): void {
  const edit = event.target instanceof Element ? event.target.closest("button.edit") : null;
  if (edit instanceof HTMLButtonElement) new Field(edit, null);
}

// Typing on a value writes over it, as in any table of figures.
function onKey(event: KeyboardEvent): void {
  const edit = event.target;
  if (!(edit instanceof HTMLButtonElement) || !edit.matches("button.edit")) return;
  if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
  if (event.key.length !== 1 || event.key === " ") return;
  if (edit.dataset["kind"] === "choice") return;
  event.preventDefault();
  new Field(edit, event.key);
}

export function startFields(): void {
  holdPage(() => [...open].map((field) => field.hold).find(Boolean) ?? "");
  document.addEventListener("click", onClick);
  document.addEventListener("keydown", onKey);
}
