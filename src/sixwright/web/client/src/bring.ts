// The home of an empty folder: a spreadsheet is dropped, and each guess about it can be corrected.

import { token } from "./page";
import { type Answer, send, show } from "./send";

// Which spreadsheet this page shows, with all that was said of it.
const held = (): string => document.querySelector<HTMLElement>("[data-held]")?.dataset["held"] ?? "";

function tellAt(words: string): void {
  show({ kind: "refused", said: words });
}

async function bring(file: File): Promise<void> {
  tellAt(`${file.name} is being read.`);
  const answer = await fetch("/spreadsheet", {
    method: "POST",
    headers: {
      "Content-Type": "application/octet-stream",
      "X-Sixwright-Token": token(),
      "X-Sixwright-Name": encodeURIComponent(file.name),
      "X-Sixwright-Held": held(),
    },
    body: file,
  });
  show((await answer.json()) as Answer);
}

function take(files: FileList | null | undefined): void {
  const file = files?.[0];
  if (!file) return;
  void bring(file).catch(() => tellAt("sixwright cannot be reached, so nothing was read."));
}

// What a column's head says now, as the command takes it: `price@500 CNY`.
function meaning(head: HTMLElement): string {
  const part = (name: string): string =>
    head.querySelector<HTMLInputElement | HTMLSelectElement>(`[data-part="${name}"]`)?.value.trim() ?? "";
  const [base, start, currency] = [part("meaning"), part("start"), part("currency")];
  const money = base === "price" || base === "tooling";
  const from = base === "price" && start ? `@${start}` : "";
  return `${base}${from}${money && currency ? ` ${currency}` : ""}`;
}

function say(what: string, name: string, value: string): void {
  void send("/say", { what, name, value, held: held() }).then(show);
}

function onChange(event: Event): void {
  const control = event.target;
  if (control instanceof HTMLInputElement && "bring" in control.dataset) {
    take(control.files);
    control.value = "";
    return;
  }
  if (!(control instanceof HTMLInputElement || control instanceof HTMLSelectElement)) return;
  const head = control.closest<HTMLElement>("[data-reads]");
  const { say: what, name = "" } = control.dataset;
  if (head) say("column", head.dataset["reads"] ?? "", meaning(head));
  else if (what) say(what, name, control.value);
}

const area = (event: Event): HTMLElement | null =>
  document.querySelector("[data-drop], .reading") && event.target instanceof Element
    ? document.querySelector<HTMLElement>("main")
    : null;

export function startBring(): void {
  document.addEventListener("change", onChange);
  document.addEventListener("dragover", (event) => {
    if (!area(event)) return;
    event.preventDefault();
    document.querySelector("[data-drop]")?.classList.add("over");
  });
  document.addEventListener("dragleave", () => {
    document.querySelector("[data-drop]")?.classList.remove("over");
  });
  document.addEventListener("drop", (event) => {
    if (!area(event)) return;
    event.preventDefault();
    document.querySelector("[data-drop]")?.classList.remove("over");
    take(event.dataTransfer?.files);
  });
}
