// Landmarks that wait to be written, one after the other; the last one written can be taken back.

import { holdPage } from "./leave";
import { notice, refreshPage, tell } from "./page";
import { type Answer, send, sendUntilTaken, show } from "./send";
import { isTrying } from "./tried";

const PAUSE_MS = 250; // after the last arrow key, before the move is written

interface Written {
  key: string;
  undo: string; // what takes this very edit back
}

export interface Words {
  one: string; // "mark"
  done: string; // "marked"
}

// What the page says of a landmark now.
export interface About {
  name: string;
  stands: string;
}

const undoOfLast = (): string =>
  document.querySelector<HTMLElement>('button[data-back="undo"]')?.dataset["asks"] ?? "";

export class Queue<Each extends { key: string }> {
  readonly unwritten = new Map<string, Each>();
  // What stood there when the producer last looked, of each that is not written yet.
  private readonly seen = new Map<string, string>();
  private readonly written: Written[] = [];
  private moved: { each: Each; timer: number } | null = null;
  private last: Promise<void> = Promise.resolve();

  constructor(
    private readonly words: Words,
    private readonly path: string,
    private readonly bodyOf: (each: Each) => object,
    private readonly about: (key: string) => About,
    private readonly changed: () => void,
  ) {
    for (const leaving of ["beforeunload", "pagehide"]) addEventListener(leaving, () => this.settle());
    holdPage(() => (this.unwritten.size ? "soon" : ""));
  }

  // The landmark that was written last, and not taken back.
  get newest(): string {
    return this.written.at(-1)?.key ?? "";
  }

  put(each: Each): void {
    const { one } = this.words;
    if (isTrying()) {
      this.unwritten.delete(each.key);
      tell(`A ${one} is not tried: stop trying first. Nothing was written.`);
      this.changed();
      return;
    }
    this.wait(each);
    this.last = this.last.then(() => this.write(each)).catch(() => undefined);
  }

  // A move by an arrow key: written once the keys rest.
  hold(each: Each): void {
    if (this.moved && this.moved.each.key !== each.key) this.settle();
    if (this.moved) clearTimeout(this.moved.timer);
    this.wait(each);
    this.moved = { each, timer: setTimeout(() => this.settle(), PAUSE_MS) };
  }

  // Write a move that waits for its last arrow key.
  settle(): void {
    if (!this.moved) return;
    clearTimeout(this.moved.timer);
    const { each } = this.moved;
    this.moved = null;
    this.put(each);
  }

  // Take back what was written last on this page, and ask for it again.
  takeBack(ask: (key: string) => void): void {
    this.settle();
    this.last = this.last
      .then(async () => {
        const found = this.written.pop();
        if (!found) {
          tell(
            `Nothing was ${this.words.done} since this page was opened; ` +
              "Undo takes back what was done before.",
          );
          return;
        }
        show(await send("/undo", JSON.parse(found.undo) as object));
        ask(found.key);
      })
      .catch(() => undefined);
  }

  private wait(each: Each): void {
    const { key } = each;
    if (!this.unwritten.has(key)) this.seen.set(key, this.about(key).stands);
    this.unwritten.set(key, each);
  }

  // Written over what the producer saw, and over nothing that came while it waited.
  private async write(each: Each): Promise<void> {
    const before = undoOfLast();
    const waits = `The ${this.words.one} waits here and is written as soon as it can be; keep this page open.`;
    const body = { ...this.bodyOf(each), was: this.seen.get(each.key) ?? "" };
    const answer = await sendUntilTaken(this.path, () => body, waits);
    if (this.unwritten.get(each.key) === each) this.unwritten.delete(each.key);
    await this.tellOf(each, answer, before);
    this.changed();
  }

  private async tellOf(each: Each, answer: Answer, before: string): Promise<void> {
    const { name } = this.about(each.key);
    if (answer.kind !== "written") {
      notice(`${name}: ${answer.said}`);
      await refreshPage();
      tell(answer.said);
      return;
    }
    show(answer);
    this.seen.set(each.key, this.about(each.key).stands);
    const undo = undoOfLast();
    if (undo && undo !== before) this.written.push({ key: each.key, undo });
  }
}
