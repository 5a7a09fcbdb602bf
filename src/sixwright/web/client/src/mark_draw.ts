// The crosses on a still, and the magnifier over it.

export interface Place {
  x: number;
  y: number;
}

interface Cross {
  at: Place;
  inHand: boolean;
  expected: boolean;
}

const SVG = "http://www.w3.org/2000/svg";
const EXPECTED_LONGER = 2;
const ZOOM = 6; // pixels of the magnifier to one of the still

function path(d: string, name: string): SVGPathElement {
  const made = document.createElementNS(SVG, "path");
  made.setAttribute("d", d);
  made.setAttribute("class", name);
  return made;
}

// Four arms that leave the place itself free; what is to be looked at is found by longer ones.
export function crossOf({ at: { x, y }, inHand, expected }: Cross, usual: number): SVGGElement {
  const arm = expected ? EXPECTED_LONGER * usual : usual;
  const gap = usual / 4;
  const d = `M${x - arm} ${y}H${x - gap}M${x + gap} ${y}H${x + arm}M${x} ${y - arm}V${y - gap}M${x} ${y + gap}V${y + arm}`;
  const made = document.createElementNS(SVG, "g");
  made.setAttribute("class", `${inHand ? "hand" : ""} ${expected ? "expected" : ""}`.trim());
  made.append(path(d, "under"), path(d, "over"));
  return made;
}

export function drawMarks(root: HTMLElement, crosses: Cross[], arm: number): void {
  root.querySelector("[data-marks]")?.replaceChildren(...crosses.map((each) => crossOf(each, arm)));
}

// The magnifier goes to the other side where it would cover one of `bare` and the other side would not.
export function drawMagnifier(
  root: HTMLElement,
  at: Place,
  size: Place,
  origin: Place,
  bare: Place[],
): void {
  const canvas = root.querySelector<HTMLCanvasElement>("[data-magnifier]");
  const picture = root.querySelector<HTMLImageElement>("[data-picture]");
  const pen = canvas?.getContext("2d");
  if (!canvas || !picture || !pen || !picture.complete || !picture.naturalWidth) return;
  const { width, height } = canvas;
  // A picture that is shown smaller than the still is has fewer pixels than it.
  const share = picture.naturalWidth / size.x;
  const [across, down] = [width / ZOOM, height / ZOOM];
  pen.imageSmoothingEnabled = false;
  pen.clearRect(0, 0, width, height);
  pen.drawImage(
    picture,
    (at.x - origin.x + 0.5 - across / 2) * share,
    (at.y - origin.y + 0.5 - down / 2) * share,
    across * share,
    down * share,
    0,
    0,
    width,
    height,
  );
  const middle = width / 2;
  for (const [colour, thick] of [["#ffffff", 3], ["#6a2a8c", 1]] as const) {
    pen.strokeStyle = colour;
    pen.lineWidth = thick;
    pen.beginPath();
    pen.moveTo(0, middle);
    pen.lineTo(middle - ZOOM, middle);
    pen.moveTo(middle + ZOOM, middle);
    pen.lineTo(width, middle);
    pen.moveTo(middle, 0);
    pen.lineTo(middle, middle - ZOOM);
    pen.moveTo(middle, middle + ZOOM);
    pen.lineTo(middle, height);
    pen.stroke();
  }
  const covered = (): number => bare.filter((each) => isUnder(canvas, picture, each, size, origin)).length;
  canvas.classList.remove("away");
  const right = covered();
  if (!right) return;
  canvas.classList.add("away");
  canvas.classList.toggle("away", covered() < right);
}

const CLEAR_PX = 40; // round a place, so that its cross is seen whole: own choice

function isUnder(over: HTMLElement, picture: HTMLElement, at: Place, size: Place, origin: Place): boolean {
  const [box, still] = [over.getBoundingClientRect(), picture.getBoundingClientRect()];
  const x = still.left + ((at.x - origin.x) / size.x) * still.width;
  const y = still.top + ((at.y - origin.y) / size.y) * still.height;
  const [left, right] = [box.left - CLEAR_PX, box.right + CLEAR_PX];
  return x > left && x < right && y > box.top - CLEAR_PX && y < box.bottom + CLEAR_PX;
}
