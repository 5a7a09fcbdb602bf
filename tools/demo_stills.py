"""Make the demo line's likeness data from a hidden truth: heads' landmarks, stills, sightings.

The person, the cameras and the planted faults are invented here, with a projection and a
visibility rule of their own; nothing is imported from the solver that has to find them. What
was hidden is written to tests/demo/likeness_truth.json, never into the line's folder.

    python tools/demo_stills.py examples/sluice-keeper tests/demo/likeness_truth.json
"""

import csv
import hashlib
import json
import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

Points = dict[tuple[str, str], NDArray[np.float64]]

SEED = 20260914
NOISE_PX = 1.5
WRONG_EVERY = 15
SCULPT_SPREAD_MM = 0.05  # how far an honest sculpt is off, at 1:6
PLACING_MM = 0.03  # how well a landmark is placed on a sculpt, at 1:6

# Full-size millimetres, the figure's left half; x left, y up, z forward, origin between the
# tragions at pupil height. Drawn after the sketch of the demo head.
MIDDLE = {
    "glabella": (0, 17, 98),
    "sellion": (0, 5, 97),
    "pronasale": (0, -35, 120),
    "subnasale": (0, -48, 103),
    "labiale-superius": (0, -60, 106),
    "stomion": (0, -67, 102),
    "labiale-inferius": (0, -73, 104),
    "sublabiale": (0, -84, 95.5),
    "pogonion": (0, -98, 99),
    "gnathion": (0, -112, 91),
    "trichion": (0, 76, 86),
    "vertex": (0, 118, -10),
}
PAIRED = {
    "endocanthion": (17.5, -1, 75),
    "exocanthion": (45.5, 1, 74),
    "palpebrale-superius": (31.5, 4, 83),
    "palpebrale-inferius": (31.5, -5, 83),
    "alare": (17.2, -38, 100),
    "cheilion": (24.8, -67, 83),
    "tragion": (70, -12, 1),
    "otobasion-inferius": (68, -38, -2),
    "frontotemporale": (54, 26, 62),
    "superciliare": (30, 20, 91),
    "zygion": (69, -14, 20),
    "gonion": (53, -78, 16),
}
CONTOUR = {"zygion", "gonion", "vertex", "gnathion"}
# How an expression moves what is mobile (full-size mm: outward, up, forward).
EXPRESSIONS: dict[str, dict[str, tuple[float, float, float]]] = {
    "level": {},
    "counting": {
        "labiale-superius": (0, 2, 1),
        "labiale-inferius": (0, -7, -1),
        "stomion": (0, -2, -1),
        "cheilion": (-2, -1, 2),
        "pogonion": (0, -6, -3),
        "gnathion": (0, -7, -4),
        "sublabiale": (0, -6, -2),
        "gonion": (0, -1, -1),
    },
    "weary": {
        "palpebrale-superius": (0, -2.5, 0),
        "cheilion": (0, -2, -1),
        "superciliare": (0, -1.5, 0),
    },
    "shouting": {
        "labiale-superius": (0, 3, 0),
        "labiale-inferius": (0, -14, -3),
        "stomion": (0, -5, -3),
        "cheilion": (-1, -4, 0),
        "pogonion": (0, -13, -6),
        "gnathion": (0, -14, -8),
        "sublabiale": (0, -13, -5),
        "gonion": (0, -3, -2),
        "superciliare": (0, 3, 1),
    },
    "laughing": {
        "cheilion": (6, 4, -4),
        "labiale-superius": (0, 2, -2),
        "labiale-inferius": (0, -6, -2),
        "pogonion": (0, -5, -2),
        "gnathion": (0, -6, -3),
        "palpebrale-inferius": (0, 1.5, 1),
    },
}
# id, expression, yaw, pitch (degrees; the head turns to its left), full-size distance (mm),
# focal length (px), mirrored in truth, squeeze in truth.
STILLS = (
    ("s01-quay", "level", 4, 2, 2600, 8500, False, 1.0),
    ("s02-stairs", "level", 38, -6, 1900, 6250, False, 1.0),
    ("s03-window", "level", -34, 5, 2300, 7500, False, 1.0),
    ("s04-lamp", "level", 82, 0, 2500, 8250, False, 1.0),
    ("s05-gate", "level", -66, 8, 2200, 7250, True, 1.0),
    ("s06-rain", "level", -14, -18, 2000, 6500, False, 0.75),
    ("s07-bell", "counting", 12, 4, 2100, 7000, False, 1.0),
    ("s08-ledger", "counting", -47, -8, 2400, 7750, False, 1.0),
    ("s09-bench", "weary", 24, 10, 2300, 7500, False, 1.0),
    ("s10-boat", "weary", -57, 2, 2000, 6750, False, 1.0),
    ("s11-storm", "shouting", 7, -3, 2200, 7250, False, 1.0),
    ("s12-feast", "laughing", -9, 4, 2400, 8000, False, 1.0),
)
WIDTH, HEIGHT = 1440, 1080
# sculpt, part, expression, and for each round the places that are off (1:6 mm; x left, y up,
# z forward): what the tool has to find.
SCULPTS = (
    (
        "m1-level",
        "hd-m1",
        "level",
        (
            {("pronasale", "mid"): (0.0, 0.0, 0.9)},
            {
                ("pronasale", "mid"): (0.0, 0.0, 0.45),
                ("tragion", "right"): (0.0, 0.75, -0.35),
                ("otobasion-inferius", "right"): (0.0, 0.75, -0.35),
            },
        ),
    ),
    ("m2-counting", "hd-m2", "counting", ({},)),
    ("l1-weary", "hd-l1", "weary", ({},)),
    ("l2-shouting", "hd-l2", "shouting", ({},)),
    ("l3-laughing", "hd-l3", "laughing", ({},)),
)
ROUND_DATES = ("2026-08-03", "2026-08-31")


def person(expression: str) -> Points:
    """Landmarks of the invented person in one expression, full-size mm."""
    moves = EXPRESSIONS[expression]
    points: Points = {}
    for name, place in MIDDLE.items():
        points[name, "mid"] = np.array(place, float) + np.array(moves.get(name, (0, 0, 0)))
    for name, place in PAIRED.items():
        out, up, forward = moves.get(name, (0.0, 0.0, 0.0))
        for side, sign in (("left", 1.0), ("right", -1.0)):
            lean = 0.6 * np.sin(place[1] / 30 + sign)  # a face is not its own mirror image
            points[name, side] = np.array(
                [sign * (place[0] + out) + lean, place[1] + up, place[2] + forward]
            )
    return points


def outward(place: NDArray[np.float64]) -> NDArray[np.float64]:
    """Unit direction out of the head at a place, as of an ellipsoid round the skull."""
    normal = (place - np.array([0, 0, 8.0])) / np.array([75.0, 118.0, 100.0]) ** 2
    unit: NDArray[np.float64] = normal / np.linalg.norm(normal)
    return unit


def turn(yaw_deg: float, pitch_deg: float) -> NDArray[np.float64]:
    """Axes of a camera that sees the head turned by yaw (to its left) and pitch (up)."""
    yaw, pitch = np.radians([yaw_deg, pitch_deg])
    towards = np.array([-np.sin(yaw) * np.cos(pitch), -np.sin(pitch), np.cos(yaw) * np.cos(pitch)])
    forward = -towards
    right = np.cross(forward, [0.0, 1.0, 0.0])
    right = right / np.linalg.norm(right)
    return np.array([right, np.cross(forward, right), forward])


def see(
    place: NDArray[np.float64],
    still: tuple[str, str, float, float, float, float, bool, float],
    centre: tuple[float, float],
) -> NDArray[np.float64]:
    """Pixel at which a still shows a place, before mirroring."""
    _, _, yaw, pitch, distance, focal, _, squeeze = still
    inside = turn(yaw, pitch) @ (place - np.array([0.0, 0.0, 20.0])) + np.array([0, 0, distance])
    return np.array(
        [
            squeeze * focal * inside[0] / inside[2] + centre[0],
            focal * inside[1] / inside[2] + centre[1],
        ]
    )


def visible(place: NDArray[np.float64], name: str, yaw_deg: float, pitch_deg: float) -> bool:
    """Whether a place faces the camera enough to be marked; a contour only near the outline."""
    facing = float(outward(place) @ -turn(yaw_deg, pitch_deg)[2])
    if name in CONTOUR:
        return abs(facing) < 0.35
    return facing > 0.12


def sight(
    rng: np.random.Generator,
) -> tuple[list[list[str]], list[dict[str, object]], dict[str, object]]:
    """Sightings of all stills, and which of them were made wrong."""
    rows: list[list[str]] = []
    wrong: list[dict[str, object]] = []
    cameras: dict[str, object] = {}
    count = 0
    for still in STILLS:
        name, expression, yaw, pitch, distance, focal, mirrored, squeeze = still
        centre = ((WIDTH - 1) / 2 + rng.normal(0, 6), (HEIGHT - 1) / 2 + rng.normal(0, 6))
        cameras[name] = {
            "yaw_deg": yaw,
            "pitch_deg": pitch,
            "distance_mm": distance,
            "focal_px": focal,
            "mirrored": mirrored,
            "squeeze": squeeze,
            "c_px": [round(c, 3) for c in centre],
        }
        for (landmark, side), place in person(expression).items():
            if not visible(place, landmark, yaw, pitch):
                continue
            slip = rng.normal(0, 0.25 if landmark not in CONTOUR else 0.8, 3)
            at = see(place + slip, still, centre) + rng.normal(0, NOISE_PX, 2)
            count += 1
            if count % WRONG_EVERY == 0:
                angle = rng.uniform(0, 2 * np.pi)
                at = at + rng.uniform(40, 75) * np.array([np.cos(angle), np.sin(angle)])
                wrong.append({"still": name, "landmark": landmark, "side": side})
            if mirrored:
                at = np.array([WIDTH - 1 - at[0], at[1]])
            how = "contour" if landmark in CONTOUR else "point"
            rows.append(
                [name, landmark, side, f"{at[0]:.1f}", f"{at[1]:.1f}", f"{NOISE_PX}", how, "seen"]
            )
    return rows, wrong, cameras


def draw(still: tuple[str, str, float, float, float, float, bool, float], file: Path) -> None:
    """A plain line drawing of the head as the still shows it."""
    points = person(still[1])
    picture = Image.new("L", (WIDTH, HEIGHT), 246)
    pen = ImageDraw.Draw(picture)
    middle = ((WIDTH - 1) / 2, (HEIGHT - 1) / 2)

    def trace(places: list[NDArray[np.float64]], shade: int, width: int) -> None:
        pixels = [tuple(see(place, still, middle)) for place in places]
        if still[6]:
            pixels = [(WIDTH - 1 - x, y) for x, y in pixels]
        pen.line(pixels, fill=shade, width=width, joint="curve")

    axes = turn(still[2], still[3])
    rim = [
        np.array([0, 12.0, 2.0]) + 76 * np.cos(a) * axes[0] + 108 * np.sin(a) * -axes[1]
        for a in np.linspace(0, 2 * np.pi, 120)
    ]
    trace(rim, 140, 3)
    for chain in _chains(points):
        seen = [p for p in chain if outward(p) @ -axes[2] > -0.05]
        if len(seen) > 1:
            trace(seen, 40, 3)
    picture.quantize(16).save(file, optimize=True)


def _chains(points: Points) -> list[list[NDArray[np.float64]]]:
    def of(*names: tuple[str, str]) -> list[NDArray[np.float64]]:
        return [points[name] for name in names]

    middle = [(name, "mid") for name in MIDDLE if name != "vertex"]
    chains = [of(*middle[:10])]
    for side in ("left", "right"):
        lid = [("endocanthion", side), ("palpebrale-superius", side), ("exocanthion", side)]
        low = [("endocanthion", side), ("palpebrale-inferius", side), ("exocanthion", side)]
        chains += [
            of(*lid),
            of(*low),
            of(("glabella", "mid"), ("superciliare", side), ("frontotemporale", side)),
            of(("pronasale", "mid"), ("alare", side), ("subnasale", "mid")),
            of(("labiale-superius", "mid"), ("cheilion", side), ("labiale-inferius", "mid")),
            of(("stomion", "mid"), ("cheilion", side)),
            of(
                ("gnathion", "mid"),
                ("gonion", side),
                ("otobasion-inferius", side),
                ("tragion", side),
            ),
        ]
    return chains


def sculpt_rows(rng: np.random.Generator) -> tuple[list[list[str]], dict[str, object]]:
    """Landmarks of every round: the person at 1:6, honest spread, and the planted faults."""
    rows: list[list[str]] = []
    truth: dict[str, object] = {}
    for sculpt, _, expression, rounds in SCULPTS:
        spread = {key: rng.normal(0, SCULPT_SPREAD_MM, 3) for key in person(expression)}
        for number, planted in enumerate(rounds, start=1):
            off: dict[str, list[float]] = {}
            for key, place in person(expression).items():
                error = spread[key] + np.array(planted.get(key, (0.0, 0.0, 0.0)))
                placed = place / 6 + error + rng.normal(0, PLACING_MM, 3)
                rows.append(
                    [
                        f"{sculpt}-{number}",
                        *key,
                        *(f"{v:.3f}" for v in placed),
                        f"{PLACING_MM}",
                        "placed",
                    ]
                )
                off["/".join(key)] = [round(float(v), 4) for v in error]
            truth[f"{sculpt}-{number}"] = off
    return rows, truth


def table(file: Path, header: str, rows: list[list[str]]) -> None:
    """Write one table as the folder has it."""
    with file.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(header.split(","))
        writer.writerows(rows)


def main(folder: Path, truth_file: Path) -> None:
    """Write the tables and drawings into `folder` and what was hidden into `truth_file`."""
    rng = np.random.Generator(np.random.Philox(SEED))
    landmark_rows, truth = sculpt_rows(rng)
    sighting_rows, wrong, cameras = sight(rng)
    (folder / "stills").mkdir(parents=True, exist_ok=True)
    still_rows = []
    for still in STILLS:
        file = folder / "stills" / f"{still[0]}.png"
        draw(still, file)
        digest = hashlib.sha256(file.read_bytes()).hexdigest()
        look = "muster" if still[1] in {"level", "counting"} else "low-water"
        still_rows.append(
            [
                still[0],
                f"stills/{still[0]}.png",
                digest,
                str(WIDTH),
                str(HEIGHT),
                "keeper",
                look,
                still[1],
                "",
                "",
                "",
                "1",
                "no",
                "no",
                "no",
            ]
        )
    table(
        folder / "stills.csv",
        "id,file,sha256,width_px,height_px,person,look,expression,camera,focal_px,focal_sd_log,"
        "squeeze,cropped,mirrored,may_publish",
        still_rows,
    )
    table(folder / "sightings.csv", "still,landmark,side,x_px,y_px,sd_px,how,state", sighting_rows)
    table(folder / "landmarks.csv", "round,landmark,side,x_mm,y_mm,z_mm,sd_mm,how", landmark_rows)
    table(
        folder / "sculpts.csv",
        "id,part,person,expression,tolerance_mm",
        [[name, part, "keeper", expression, "0.25"] for name, part, expression, _ in SCULPTS],
    )
    table(
        folder / "rounds.csv",
        "id,sculpt,number,date,mesh,sha256,unit,up,front,maker,remark",
        [
            [f"{name}-{n}", name, str(n), ROUND_DATES[n - 1], "", "", "mm", "+y", "+z", "SC", ""]
            for name, _, _, rounds in SCULPTS
            for n in range(1, len(rounds) + 1)
        ],
    )
    truth_file.parent.mkdir(parents=True, exist_ok=True)
    truth_file.write_text(
        json.dumps({"sculpts": truth, "wrong": wrong, "cameras": cameras}, indent=1) + "\n",
        encoding="utf-8",
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
