// Meshes that are brought in, one after the other, with their progress.

import { holdPage } from "./leave";
import { eachTime, refreshPage, tell, token, windowName } from "./page";
import type { Answer } from "./send";

const PAUSE_MS = 150;
const FOLLOWED = ["coming", "looking", "seen"];

let under_way: XMLHttpRequest | null = null;
let stops = 0; // how often it was said to stop
let waiting = 0; // meshes that are on their way, or wait for those before them
let last: Promise<unknown> = Promise.resolve();
let following = false;

function coming(): HTMLElement | null {
  return document.querySelector<HTMLElement>("[data-coming]");
}

function showProgress(share: number | null): void {
  const box = coming();
  const bar = box?.querySelector("progress");
  if (!box || !bar) return;
  box.hidden = share === null;
  bar.value = 100 * (share ?? 0);
}

function sendOnce(file: File): Promise<Answer> {
  return new Promise((done, fail) => {
    const request = new XMLHttpRequest();
    under_way = request;
    request.open("POST", "/mesh");
    request.setRequestHeader("Content-Type", "application/octet-stream");
    request.setRequestHeader("X-Sixwright-Token", token());
    request.setRequestHeader("X-Sixwright-Name", encodeURIComponent(file.name));
    request.setRequestHeader("X-Sixwright-Window", windowName);
    request.upload.addEventListener("progress", (event) => {
      showProgress(event.lengthComputable && event.total ? event.loaded / event.total : 0);
    });
    request.addEventListener("load", () => {
      try {
        done(JSON.parse(request.responseText) as Answer);
      } catch {
        fail(new Error("no answer of ours"));
      }
    });
    for (const kind of ["error", "abort"]) request.addEventListener(kind, () => fail(new Error(kind)));
    request.send(file);
  });
}

async function bringMesh(file: File): Promise<string> {
  tell(`${file.name} is on its way.`);
  showProgress(0);
  const before = stops;
  try {
    let answer = await sendOnce(file);
    if (answer.kind === "token") {
      await refreshPage();
      answer = await sendOnce(file);
    }
    await refreshPage();
    follow();
    return answer.said;
  } catch {
    return stops > before
      ? `${file.name} was stopped on its way; nothing of it is kept.`
      : `${file.name} did not arrive, or is a folder; nothing of it is kept.`;
  } finally {
    under_way = null;
    showProgress(null);
  }
}

// Meshes one after the other, and after those that were dropped before; the sentence of each.
export function bringMeshes(files: File[]): Promise<string[]> {
  const before = stops;
  waiting += files.length;
  const all = last.then(() => bringEach(files, before)).finally(() => (waiting -= files.length));
  last = all.catch(() => undefined);
  return all;
}

async function bringEach(files: File[], before: number): Promise<string[]> {
  const said: string[] = [];
  for (const file of files) {
    if (stops > before) said.push(`${file.name} was not sent.`);
    else said.push(await bringMesh(file));
    tell(said.join(" "));
  }
  return said;
}

// The page is shown anew whenever a mesh on it has come further.
async function look(): Promise<boolean> {
  const waiting = [...document.querySelectorAll<HTMLElement>("[data-arriving]")].filter((each) =>
    FOLLOWED.includes(each.dataset["stage"] ?? ""),
  );
  for (const each of waiting) {
    const answer = await fetch(`/arrivals/${each.dataset["arriving"]}`, { cache: "no-store" });
    const { stage } = (await answer.json()) as { stage: string };
    if (stage !== each.dataset["stage"]) {
      await refreshPage();
      return true;
    }
  }
  return waiting.length > 0;
}

function follow(): void {
  if (following) return;
  following = true;
  const again = (): void => {
    void look()
      .catch(() => false)
      .then((more) => {
        if (more) setTimeout(again, PAUSE_MS);
        else following = false;
      });
  };
  again();
}

export function startFiles(): void {
  holdPage(() => (waiting ? "stays" : ""));
  eachTime(() => {
    if (document.querySelector("[data-arriving]")) follow();
  });
  document.addEventListener("click", (event) => {
    if (!(event.target instanceof Element) || !event.target.closest("[data-stop]")) return;
    stops++;
    under_way?.abort();
  });
}
