// Picture files that are brought in, one after the other, and pictures that replace another.

import { holdPage } from "./leave";
import { notice, refreshPage, tell, token, windowName } from "./page";
import { type Answer, show } from "./send";
import { isHeldBack } from "./tried";

let waiting = 0; // pictures that are on their way, or wait for those before them
let last: Promise<unknown> = Promise.resolve();

async function sendOnce(file: File, person: string, replaces: string): Promise<Answer> {
  const answer = await fetch("/still", {
    method: "POST",
    headers: {
      "Content-Type": "application/octet-stream",
      "X-Sixwright-Token": token(),
      "X-Sixwright-Name": encodeURIComponent(file.name),
      "X-Sixwright-Person": encodeURIComponent(person),
      "X-Sixwright-Replaces": encodeURIComponent(replaces),
      "X-Sixwright-Window": windowName,
    },
    body: file,
  });
  return (await answer.json()) as Answer;
}

// A folder has a name and no bytes; a file may be gone since it was dropped.
async function isReadable(file: File): Promise<boolean> {
  return await file.slice(0, 1).arrayBuffer().then(() => true, () => false);
}

async function bring(file: File, person: string, replaces = ""): Promise<Answer> {
  if (!(await isReadable(file))) {
    return { kind: "refused", said: `${file.name} cannot be read, or is a folder; drop the pictures in it. Nothing was written.` };
  }
  try {
    const answer = await sendOnce(file, person, replaces);
    if (answer.kind !== "token") return answer;
    await refreshPage();
    return await sendOnce(file, person, replaces);
  } catch {
    return { kind: "away", said: `${file.name} had no answer; once sixwright runs again, the list shows whether it was brought in.` };
  }
}

// One list of pictures after the other.
function inLine<Given>(count: number, task: () => Promise<Given>): Promise<Given> {
  waiting += count;
  const all = last.then(task).finally(() => (waiting -= count));
  last = all.catch(() => undefined);
  return all;
}

// Stills one after the other; what came of them in a sentence or two.
export function bringStills(files: File[], person: string): Promise<string> {
  return inLine(files.length, () => bringEach(files, person));
}

async function bringEach(files: File[], person: string): Promise<string> {
  const refused: string[] = [];
  let came = 0;
  for (const file of files) {
    tell(`${file.name} is being checked and copied: ${came + refused.length + 1} of ${files.length}.`);
    const answer = await bring(file, person);
    if (answer.kind === "written") came += 1;
    else refused.push(answer.said);
    if (answer.page) show(answer);
  }
  // Another list follows, and would be told in the place of this one.
  if (waiting > files.length) for (const words of refused) notice(words);
  const counted = came === 1 ? "1 still was brought in." : `${came} stills were brought in.`;
  return [counted, ...refused].join(" ");
}

async function replace(file: File, still: string): Promise<void> {
  tell(`${file.name} is being checked against the picture that it replaces.`);
  const answer = await inLine(1, () => bring(file, "", still));
  if (answer.kind === "written") show(answer);
  else tell(answer.said);
}

export function startStills(): void {
  holdPage(() => (waiting ? "stays" : ""));
  document.addEventListener("change", (event) => {
    const control = event.target;
    if (!(control instanceof HTMLInputElement)) return;
    const still = control.dataset["replaces"];
    const [first] = control.files ?? [];
    if (still && first && !isHeldBack()) {
      void replace(first, still).catch(() => tell("sixwright cannot be reached; once it runs again, the still shows which picture it has."));
      control.value = "";
    }
  });
}
