// Once a second the server is asked whether the folder moved: another window, an editor, a
// spreadsheet, a sync program. A question that long apart needs no lasting connection, of which a
// browser keeps only six to one server.

import { isAnother, notice, refreshPage, tell, version, windowName } from "./page";
import { isWriting } from "./send";
import { showTried } from "./trial";
import { isTrying } from "./tried";

const PAUSE_MS = 1000;
const MOST_NOTICES = 4; // of moves; what was refused stays until it was seen
const MOVED = "moved";

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

function announce(moves: Move[]): void {
  for (const { outside, at, said } of moves) {
    const where = outside ? "outside sixwright" : "in another window";
    notice(`Changed ${where} at ${at}: ${said.join(" ")}`, MOVED);
  }
  const shown = [...document.querySelectorAll(`#notices .${MOVED}`)];
  for (const old of shown.slice(0, -MOST_NOTICES)) old.remove();
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
