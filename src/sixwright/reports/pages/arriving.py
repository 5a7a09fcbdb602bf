"""A mesh that came and is not kept yet, as a page shows it: to be confirmed or corrected."""

from collections.abc import Iterator
from hashlib import sha256

import numpy as np

from sixwright.kernel.sentences import Count, Measure, Sentence
from sixwright.line.head_shape import frame_of
from sixwright.line.mesh_guess import SCALE
from sixwright.line.mesh_turns import TURNS
from sixwright.line.meshes import UNIT_WORDS, UNITS_MM, MeshReading, Oddity, ReadingBasis
from sixwright.project.model import Project
from sixwright.reports.delivered import Arriving, DeliveredMesh, Stage, UnitAsk

UNITS = ("mm", "cm", "m", "in")
TURN_WORDS = {
    "left": "Turn it to its left",
    "right": "Turn it to its right",
    "forwards": "Tip it forwards",
    "backwards": "Tip it backwards",
    "lean-left": "Lean it to its left",
    "lean-right": "Lean it to its right",
}
# From chin to vertex, mm at full size: ansur-2 and common practice, as `mesh_guess.HEAD`.
HEAD_MM = 231.0
NEXT, FILL, OWN = "next:", "fill:", "own"
WAITS = {
    Stage.COMING: "It is on its way.",
    Stage.LOOKING: "It is being looked at.",
    Stage.SEEN: "All of it is being checked; you need not wait.",
}


def arriving(arrival: DeliveredMesh, project: Project) -> Arriving:
    """A mesh that came: what it is, how it is read, and as what it may be kept."""
    reading = arrival.reading
    shown = reading is not None and arrival.stage in {Stage.SEEN, Stage.CHECKED}
    return Arriving(
        arrival.id,
        arrival.name,
        arrival.stage.value,
        tuple(_said(arrival)),
        tuple(_odd(each) for each in arrival.oddities),
        reading_version(reading) if shown and reading is not None else "",
        tuple(_units(arrival)) if shown else (),
        tuple((turn, TURN_WORDS[turn]) for turn in TURNS),
        kept_as(project, arrival.name),
        persons(project),
    )


def persons(project: Project) -> tuple[str, ...]:
    """Whom a sculpt or a still may show: those whom sculpts depict, then those of the stills."""
    depicted = [sculpt.person for sculpt in project.sculpts.values()]
    shown = [still.person for still in project.stills.values()]
    return tuple(dict.fromkeys(person for person in (*depicted, *shown) if person))


def kept_as(project: Project, name: str) -> tuple[tuple[str, str], ...]:
    """What a mesh may be kept as: the head whose name is in the file's first."""
    made = []
    for sculpt in project.sculpts:
        rounds = [one for one in project.rounds.values() if one.sculpt == sculpt]
        for one in rounds:
            if not one.mesh:
                words = f"{sculpt}, round {one.number or one.id}, whose file is missing"
                made.append((sculpt, f"{FILL}{one.id}", words))
        number = max([one.number or 0 for one in rounds] + [len(rounds)]) + 1
        made.append((sculpt, f"{NEXT}{sculpt}", f"{sculpt}, round {number}, a new one"))
    plain = name.lower()
    ordered = sorted(made, key=lambda one: (
        one[1].removeprefix(FILL) not in plain, one[0] not in plain))  # fmt: skip
    listed = [(value, words) for _, value, words in ordered]
    own = (OWN, "a head of its own")
    is_known = bool(ordered) and ordered[0][0] in plain
    return (*listed, own) if is_known else (own, *listed)


def _said(arrival: DeliveredMesh) -> Iterator[Sentence]:
    if arrival.fault:
        yield Sentence("{why} Nothing was written.", {"why": arrival.fault})
        return
    reading = arrival.reading
    if reading is not None:
        count = Count(arrival.triangles, "triangle", "triangles")
        height = Measure(_height_mm(arrival, reading.unit.value), "mm", 1)
        yield Sentence(
            "{count}, {height} high with all that is modelled; at 1:6 a grown head has about "
            "{usual} from chin to top.",
            {"count": count, "height": height, "usual": Measure(HEAD_MM / SCALE, "mm", 0)},
        )
        yield from _why(reading)
    if arrival.stage in WAITS:
        yield Sentence(WAITS[arrival.stage])


def _why(reading: MeshReading) -> Iterator[Sentence]:
    """Where unit and axes come from, where nobody has said them."""
    if reading.unit.how is not ReadingBasis.STATED:
        said = reading.unit.reason
        unit = UNIT_WORDS[reading.unit.value]
        yield Sentence(f"It is read in {{as}}: {said.template}.", {**said.values, "as": unit})
    for name, taken in (("upwards", reading.up), ("out of the face", reading.front)):
        if taken.how is not ReadingBasis.STATED:
            values = {**taken.reason.values, "axis": taken.value}
            yield Sentence(f"Its {{axis}} points {name}: {taken.reason.template}.", values)


def _odd(oddity: Oddity) -> Sentence:
    said = oddity.sentence
    begun = said.template[:1].upper() + said.template[1:]
    return Sentence(f"{begun}. {oddity.remedy.template}.", {**said.values, **oddity.remedy.values})


def _units(arrival: DeliveredMesh) -> Iterator[UnitAsk]:
    reading = arrival.reading
    chosen = "" if reading is None else reading.unit.value
    for unit in (*UNITS, *((chosen,) if chosen and chosen not in UNITS else ())):
        height = Measure(_height_mm(arrival, unit), "mm", 1)
        word = UNIT_WORDS[unit][:1].upper() + UNIT_WORDS[unit][1:]
        yield UnitAsk(unit, word, Sentence("{height} high", {"height": height}), unit == chosen)


def _height_mm(arrival: DeliveredMesh, unit: str) -> float:
    if arrival.box is None or arrival.reading is None:
        return 0.0
    low, high = (np.array(corner) for corner in arrival.box)
    axis = np.abs(frame_of(arrival.reading.up.value, arrival.reading.front.value)[1])
    return float(axis @ (high - low)) * UNITS_MM[unit]


def reading_version(reading: MeshReading) -> str:
    """Names how a mesh is read: another unit or attitude has another."""
    said = (reading.unit.value, reading.up.value, reading.front.value)
    return sha256(repr(said).encode()).hexdigest()[:16]
