// Meshes and pictures dropped on a page, or chosen there: meshes with their progress, then stills.

import { bringMeshes } from "./files";
import { tell } from "./page";
import { bringStills } from "./stills";
import { isHeldBack } from "./tried";

interface Zone {
  there: string; // what marks it
  chosen: string; // what marks its control, in `dataset`
  isStill(file: File): boolean;
  // Where to go on, by how many of each came; null where that is this page.
  next(meshes: number, stills: number): { href: string; words: string } | null;
}

const PICTURES = /\.(jpe?g|png|webp|tiff?)$/i;
const MESHES = /\.(stl|obj|ply|glb|3mf)$/i;
const ZONES: Zone[] = [
  {
    there: "[data-drop-stills]",
    chosen: "stills",
    isStill: (file) => !MESHES.test(file.name),
    next: (meshes) => (meshes ? { href: "/sculpts", words: "Look at the mesh" } : null),
  },
  {
    there: "[data-drop-files]",
    chosen: "files",
    isStill: (file) => PICTURES.test(file.name),
    next: (_, stills) => {
      const isThere = location.pathname === "/stills";
      return stills && !isThere ? { href: "/stills", words: "Mark the stills" } : null;
    },
  },
];

const isOurs = (file: File): boolean => PICTURES.test(file.name) || MESHES.test(file.name);

// Of a folder that was chosen: what is no mesh and no picture is left where it is, and counted.
function left(count: number): string {
  if (!count) return "";
  const files = count === 1 ? "1 other file" : `${count} other files`;
  return `${files} in that folder ${count === 1 ? "is" : "are"} no mesh and no picture, and stayed there.`;
}

async function bringAll(zone: Zone, files: File[], more: string): Promise<void> {
  const person = document.querySelector<HTMLSelectElement>(`${zone.there} [data-person]`)?.value ?? "";
  const meshes = files.filter((file) => !zone.isStill(file));
  const stills = files.filter((file) => zone.isStill(file));
  const said = await bringMeshes(meshes);
  if (stills.length) said.push(await bringStills(stills, person));
  if (more) said.push(more);
  const next = zone.next(meshes.length, stills.length);
  tell(said.join(" "), next ? [next] : []);
}

function take(zone: Zone, files: FileList | null, isFolder = false): void {
  const given = [...(files ?? [])];
  const all = isFolder ? given.filter(isOurs) : given;
  if (!given.length || isHeldBack()) return;
  void bringAll(zone, all, left(given.length - all.length)).catch(() => tell("sixwright cannot be reached; once it runs again, the list shows what was brought in."));
}

function hear(zone: Zone): void {
  document.addEventListener("change", (event) => {
    const control = event.target;
    if (!(control instanceof HTMLInputElement)) return;
    const isFolder = control.dataset["folderOf"] === zone.chosen;
    if (!isFolder && !(zone.chosen in control.dataset)) return;
    take(zone, control.files, isFolder);
    control.value = "";
  });
  for (const kind of ["dragover", "dragleave", "drop"] as const) {
    document.addEventListener(kind, (event) => {
      const place = document.querySelector(`main ${zone.there}`);
      if (!place || !event.dataTransfer?.types.includes("Files")) return;
      event.preventDefault();
      place.classList.toggle("over", kind === "dragover");
      if (kind === "drop") take(zone, event.dataTransfer.files);
    });
  }
}

export function startDrop(): void {
  ZONES.forEach(hear);
}
