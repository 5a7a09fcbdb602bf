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

async function bringAll(zone: Zone, files: File[]): Promise<void> {
  const person = document.querySelector<HTMLSelectElement>(`${zone.there} [data-person]`)?.value ?? "";
  const meshes = files.filter((file) => !zone.isStill(file));
  const stills = files.filter((file) => zone.isStill(file));
  const said = await bringMeshes(meshes);
  if (stills.length) said.push(await bringStills(stills, person));
  const next = zone.next(meshes.length, stills.length);
  tell(said.join(" "), next ? [next] : []);
}

function take(zone: Zone, files: FileList | null): void {
  const all = [...(files ?? [])];
  if (!all.length || isHeldBack()) return;
  void bringAll(zone, all).catch(() => tell("sixwright cannot be reached; once it runs again, the list shows what was brought in."));
}

function hear(zone: Zone): void {
  document.addEventListener("change", (event) => {
    const control = event.target;
    if (!(control instanceof HTMLInputElement) || !(zone.chosen in control.dataset)) return;
    take(zone, control.files);
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
