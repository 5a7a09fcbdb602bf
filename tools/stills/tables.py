"""The line's tables of sculpts, stills and what was marked; and the truth, which lies elsewhere."""

import csv
import hashlib
import json
from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np
from heads.sculpts import PER_MM, Sculpt

from stills.cameras import SHOTS, Shot
from stills.marking import NOISE_PX, OUTLINE_SD_PX, Marked, Traced
from stills.placing import PLACING_MM, Placed
from stills.subject import Person

TOLERANCE_MM = 0.25
ROUND_DATES = ("2026-08-03", "2026-08-31")
MUSTER = ("level", "counting")


def write(
    folder: Path, sculpts: Sequence[Sculpt], placed: Sequence[Placed], marked: Sequence[Marked],
    traced: Sequence[Traced],
) -> None:  # fmt: skip
    """Write the six tables; the stills' files are there already."""
    of_sculpts = {one.sculpt: one for one in sculpts}
    table(folder / "sculpts.csv", "id,part,person,expression,tolerance_mm", (
        (name, one.part, "keeper", one.head.name, TOLERANCE_MM)
        for name, one in of_sculpts.items()))  # fmt: skip
    table(folder / "rounds.csv", "id,sculpt,number,date,mesh,sha256,unit,up,front,maker,remark", (
        (one.id, one.sculpt, one.number, ROUND_DATES[one.number - 1], f"sculpts/{one.id}.ply", "",
         "mm", "+y", "+z", "SC", "")
        for one in sculpts))  # fmt: skip
    table(folder / "landmarks.csv", "round,landmark,side,x_mm,y_mm,z_mm,sd_mm,how", (
        (one.round, *one.key, *(f"{number:.3f}" for number in one.place), PLACING_MM, "placed")
        for one in placed))  # fmt: skip
    table(folder / "stills.csv",
          "id,file,sha256,width_px,height_px,person,look,expression,camera,focal_px,focal_sd_log,"
          "squeeze,cropped,mirrored,may_publish",
          (_still(shot, folder) for shot in SHOTS))  # fmt: skip
    table(folder / "sightings.csv", "still,landmark,side,x_px,y_px,sd_px,how,state", (
        (one.still, *one.key, *(f"{number:.1f}" for number in one.place), NOISE_PX,
         "contour" if one.edge else "point", "seen")
        for one in marked))  # fmt: skip
    table(folder / "outlines.csv", "still,outline,point,x_px,y_px,sd_px", (
        (one.still, one.outline, number, f"{x:.1f}", f"{y:.1f}", OUTLINE_SD_PX)
        for one in traced for number, (x, y) in enumerate(one.points, start=1)))  # fmt: skip


def still_file(folder: Path, shot: Shot) -> Path:
    """Where a still's picture lies."""
    return folder / "stills" / f"{shot.id}.jpg"


def _still(shot: Shot, folder: Path) -> tuple[object, ...]:
    file = still_file(folder, shot)
    digest = hashlib.sha256(file.read_bytes()).hexdigest()
    look = "muster" if shot.expression in MUSTER else "low-water"
    return (
        shot.id, f"stills/{file.name}", digest, *shot.size, "keeper", look, shot.expression,
        "", "", "", 1, "yes" if shot.crop else "no", "no", "no",
    )  # fmt: skip


def truth(placed: Sequence[Placed], marked: Sequence[Marked]) -> dict[str, object]:
    """What the folder does not tell: faults, wrong sightings, the person, the cameras."""
    sculpts: dict[str, dict[str, list[float]]] = {}
    for one in placed:
        if one.off is not None:
            off = [round(float(number), 4) for number in one.off]
            sculpts.setdefault(one.round, {})["/".join(one.key)] = off
    wrong = [
        {"still": one.still, "landmark": one.key[0], "side": one.key[1]}
        for one in marked
        if one.wrong
    ]
    people = {
        name: {
            "/".join(key): [round(float(number), 4) for number in place / PER_MM]
            for key, place in Person(name).all_landmarks.items()
        }
        for name in dict.fromkeys(shot.expression for shot in SHOTS)
    }
    cameras = {shot.id: _camera(shot) for shot in SHOTS}
    return {"sculpts": sculpts, "wrong": wrong, "person_mm": people, "cameras": cameras}


def _camera(shot: Shot) -> dict[str, object]:
    return {
        "axes": np.round(shot.axes, 8).tolist(),
        "place_mm": np.round(shot.place / PER_MM, 5).tolist(),
        "focal_px": shot.focal_px,
        "c_px": np.round(shot.centre, 3).tolist(),
        "squeeze": shot.squeeze,
        "mirrored": shot.mirrored,
        "worn": shot.worn,
    }


def table(file: Path, header: str, rows: Iterable[Iterable[object]]) -> None:
    """Write one table as the folder has it."""
    with file.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(header.split(","))
        writer.writerows(rows)


def write_truth(file: Path, said: dict[str, object]) -> None:
    """Write the truth, one landmark a line."""
    text = json.dumps(said, indent=1)
    file.write_text(_short(text) + "\n", encoding="utf-8")


def _short(text: str) -> str:
    """The same JSON with each list of numbers on one line."""
    import re

    return re.sub(r"\[\s+([-0-9.e,\s]+?)\s+\]", lambda m: "[" + " ".join(m[1].split()) + "]", text)
