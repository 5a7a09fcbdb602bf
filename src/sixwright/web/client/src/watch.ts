// Once a second the server is asked whether the folder moved: another window, an editor, a
// spreadsheet, a sync program. A question that long apart needs no lasting connection, of which a
// browser keeps only six to one server.

import { isAnother, refreshPage, tell, version, windowName } from "./page";
import { isWriting } from "./send";
import { isTrying, showTried } from "./trial";

const PAUSE_MS = 1000;
const MOST_NOTICES = 4;

interface Move {
  outside: boolean;
  at: string;
  said: string[];
}

interface Since {
  version: string;
  moves: Move[];
}

let away = false;
let asking = false;
// The newest state that this page was told of, and the one that it shows.
let told = { newest: "", shown: "" };

function notice(move: Move): HTMLElement {
  const box = document.createElement("div");
  box.className = "notice";
  const words = document.createElement("p");
  const where = move.outside ? "outside sixwright" : "in another window";
  words.textContent = `Changed ${where} at ${move.at}: ${move.said.join(" ")}`;
  const seen = document.createElement("button");
  seen.type = "button";
  seen.textContent = "Seen";
  seen.addEventListener("click", () => box.remove());
  box.append(words, seen);
  return box;
}

function announce(moves: Move[]): void {
  const notices = document.getElementById("notices");
  if (!notices) return;
  notices.append(...moves.map(notice));
  while (notices.childElementCount > MOST_NOTICES) notices.firstElementChild?.remove();
}

// A page of what is tried shows an older state where it fits the newest no longer; it is told once.
function known(): string {
  return told.shown === version() ? told.newest : version();
}

async function ask(): Promise<void> {
  const place = new URLSearchParams({ version: known(), window: windowName });
  const answer = await fetch(`/since?${place}`, { cache: "no-store" });
  const since = (await answer.json()) as Since;
  if (away) {
    away = false;
    tell("sixwright is running again.");
  }
  if (since.version !== known() && !isWriting()) {
    if (isTrying()) {
      await showTried();
      told = { newest: since.version, shown: version() };
    } else {
      await refreshPage();
    }
    announce(since.moves);
  }
}

async function once(): Promise<void> {
  if (asking || isWriting() || isAnother()) return;
  asking = true;
  try {
    await ask();
  } catch {
    if (!away) tell("sixwright is not running; this page is as it was. Start it, and it goes on.");
    away = true;
  } finally {
    asking = false;
  }
}

export function startWatch(): void {
  setInterval(() => void once(), PAUSE_MS);
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) void once();
  });
}
