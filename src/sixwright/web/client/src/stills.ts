// Picture files dropped on the page of stills, or chosen there: sent one after the other.

import { bringMeshes } from "./files";
import { holdPage } from "./leave";
import { refreshPage, tell, token, windowName } from "./page";
import { type Answer, show } from "./send";

const ZONE = "[data-drop-stills]";
// Dropped in the same place; their page shows them.
const MESHES = /\.(stl|obj|ply|glb|3mf)$/i;

let under_way = 0;

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

async function bring(file: File, person: string, replaces = ""): Promise<Answer> {
  under_way++;
  try {
    const answer = await sendOnce(file, person, replaces);
    if (answer.kind !== "token") return answer;
    await refreshPage();
    return await sendOnce(file, person, replaces);
  } finally {
    under_way--;
  }
}

// Stills one after the other; what came of them in a sentence or two.
export async function bringStills(files: File[], person: string): Promise<string> {
  const refused: string[] = [];
  let came = 0;
  for (const file of files) {
    tell(`${file.name} is being checked and copied: ${came + refused.length + 1} of ${files.length}.`);
    const answer = await bring(file, person);
    if (answer.kind === "written") came += 1;
    else refused.push(answer.said);
    if (answer.page) show(answer);
  }
  const counted = came === 1 ? "1 still was brought in." : `${came} stills were brought in.`;
  return [counted, ...refused].join(" ");
}

async function bringAll(files: File[]): Promise<void> {
  const person = document.querySelector<HTMLSelectElement>(`${ZONE} [data-person]`)?.value ?? "";
  const meshes = files.filter((file) => MESHES.test(file.name));
  const stills = files.filter((file) => !MESHES.test(file.name));
  const said = await bringMeshes(meshes);
  if (stills.length) said.push(await bringStills(stills, person));
  tell(said.join(" "), meshes.length ? [{ href: "/sculpts", words: "Look at the mesh" }] : []);
}

async function replace(file: File, still: string): Promise<void> {
  tell(`${file.name} is being checked against the picture that it replaces.`);
  const answer = await bring(file, "", still);
  if (answer.kind === "written") show(answer);
  else tell(answer.said);
}

function take(files: FileList | null | undefined): void {
  const all = [...(files ?? [])];
  if (!all.length) return;
  void bringAll(all).catch(() => tell("sixwright cannot be reached; once it runs again, the list shows what was brought in."));
}

const isOver = (event: Event): boolean =>
  event.target instanceof Element && Boolean(event.target.closest("main")?.querySelector(ZONE));

export function startStills(): void {
  holdPage(() => (under_way ? "stays" : ""));
  document.addEventListener("change", (event) => {
    const control = event.target;
    if (!(control instanceof HTMLInputElement)) return;
    const still = control.dataset["replaces"];
    const [first] = control.files ?? [];
    if (still && first) {
      void replace(first, still).catch(() => tell("sixwright cannot be reached; once it runs again, the still shows which picture it has."));
      control.value = "";
    }
    if (!("stills" in control.dataset)) return;
    take(control.files);
    control.value = "";
  });
  for (const kind of ["dragover", "dragleave", "drop"] as const) {
    document.addEventListener(kind, (event) => {
      if (!isOver(event)) return;
      event.preventDefault();
      document.querySelector(ZONE)?.classList.toggle("over", kind === "dragover");
      if (kind === "drop") take(event.dataTransfer?.files);
    });
  }
}
