// How a sculpt in space is seen.

export type Three = [number, number, number];

// Without perspective: a pixel is `step` mm everywhere.
export interface Seen {
  middle: Three;
  right: Three;
  up: Three;
  towards: Three;
  step: number;
  width: number;
  height: number;
}
