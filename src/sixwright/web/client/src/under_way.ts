// How far an answer is that takes seconds, told each second while its page waits for it.

import { eachTime } from "./page";

interface Progress {
  so_far_s: number | null;
  last_s: number | null;
}

const PAUSE_MS = 1000;

const waiting = (): HTMLElement | null =>
  document.querySelector<HTMLElement>("[data-under-way]:not([data-stopped])");

const seconds = (value: number): string => {
  const whole = Math.max(1, Math.round(value));
  return whole === 1 ? "1 second" : `${whole} seconds`;
};

function told(progress: Progress | undefined): string {
  if (!progress) return "";
  const { so_far_s: soFar, last_s: last } = progress;
  if (soFar === null) return "It waits for another answer.";
  if (last === null) return `${seconds(soFar)} so far; how long it takes is not known yet.`;
  if (soFar > last) return `${seconds(soFar)} so far, longer than the last time (${seconds(last)}).`;
  return `${seconds(soFar)} so far, about ${seconds(last - soFar)} more if it takes as long as the last time.`;
}

// What was said of it while it was under way goes once it is stopped.
function clear(): void {
  const words = document.querySelector("[data-under-way][data-stopped] [data-said]");
  if (words) words.textContent = "";
}

async function ask(): Promise<void> {
  const place = waiting();
  if (!place || document.hidden) return;
  const answer = await fetch("/under-way", { cache: "no-store" });
  if (!answer.ok) return;
  const all = (await answer.json()) as Record<string, Progress | undefined>;
  const words = place.querySelector("[data-said]");
  if (words) words.textContent = told(all[place.dataset["underWay"] ?? ""]);
}

export function startUnderWay(): void {
  const again = (): void => void ask().catch(() => undefined);
  eachTime(() => {
    clear();
    again();
  });
  setInterval(again, PAUSE_MS);
}
