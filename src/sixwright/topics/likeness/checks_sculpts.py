"""Whether a round's file is the head that it should be, and whether its landmarks lie on it."""

from sixwright.kernel.findings import Doubt, Evidence, Finding, Fix, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact
from sixwright.kernel.sentences import Count, Measure, Name, Names, Sentence, Value
from sixwright.line.meshes import UNIT_WORDS, MeshReading, Odd, ReadingBasis
from sixwright.topics.likeness import rules
from sixwright.topics.likeness.alignment.gauge import placing_mm
from sixwright.topics.likeness.checks_stills import mark_name
from sixwright.topics.likeness.model import Answer, Inputs, RoundAnswer
from sixwright.topics.likeness.sculpts import SculptFile

# Own choice: a landmark placed with a spread of s lies 3 s off the surface in 1 of 370 by chance.
SPREADS = 3.0
NAMED = 3  # of the landmarks that are off, the worst


class MeshDoubt(Doubt):
    """What became of a round's file."""

    AS_STATED = ("it was read, and it has the size of a head", Verdict.HOLDS)
    MISSING = ("its file is not there", Verdict.UNCHECKED)
    UNUSABLE = ("its file cannot be used", Verdict.FAILS)
    SIZE = ("it has not the size of a head at 1:6", Verdict.FAILS)
    OTHER = ("it is not as its row says, or not one head", Verdict.DOUBTFUL)
    ASSUMED = ("nothing says for certain how to read it", Verdict.DOUBTFUL)


# What says that the file may not be this head, and what it then is: worst first.
_GRAVE = {
    Odd.SIZE: MeshDoubt.SIZE,
    Odd.CHANGED: MeshDoubt.OTHER,
    Odd.ATTITUDE: MeshDoubt.OTHER,
    Odd.TWO: MeshDoubt.OTHER,
    Odd.INSIDE_OUT: MeshDoubt.OTHER,
}


def findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    """What is found on the files of the latest rounds.

    Parameters
    ----------
    inputs, answer
        The nouns and what was computed of them.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.
    """
    files = {each.round: each for each in answer.files}
    found: list[Finding] = []
    for one in answer.rounds:
        file = files.get(one.round)
        if file is None or not one.latest:
            continue
        found.append(_file(one, file))
        if file.marks:
            found.append(_surface(inputs, one, file))
    return tuple(found)


def _file(one: RoundAnswer, file: SculptFile) -> Finding:
    values: dict[str, Value] = {"head": Name(one.name)}
    missing: tuple[str, ...] = ()
    remedy: Sentence | None = None
    fix: Fix | None = None
    if not file.is_there:
        doubt, missing = MeshDoubt.MISSING, (f"rounds/{one.round}/mesh",)
        message = Sentence(
            "The file of {head}, {path}, is not in the folder.", values | {"path": file.path}
        )
        remedy = Sentence("Put it there, or correct the mesh in the round’s row.")
    elif file.refusal or file.reading is None:
        doubt = MeshDoubt.UNUSABLE
        message = Sentence("{head} cannot be read: {why}", values | {"why": file.refusal})
        remedy = Sentence("Nothing of it is judged by its surface until another file is there.")
    else:
        doubt, message, remedy, fix = _read(one, file, file.reading)
    return rules.MESH.finding(
        Subject("round", one.round),
        Evidence(missing=missing, doubt=doubt),
        message,
        remedy=remedy,
        weight=2.5,
        fix=fix,
    )


def _read(
    one: RoundAnswer, file: SculptFile, reading: MeshReading
) -> tuple[MeshDoubt, Sentence, Sentence | None, Fix | None]:
    """A file that can be used: the gravest that is odd about it, or how it was read."""
    values: dict[str, Value] = {"head": Name(one.name)}
    odd = next((o for kind in _GRAVE for o in file.oddities if o.kind is kind), None)
    if odd is not None:
        told = Sentence(f"{{head}}: {odd.sentence.template}.", {**odd.sentence.values, **values})
        remedy = Sentence(f"{odd.remedy.template}.", odd.remedy.values)
        return _GRAVE[odd.kind], told, remedy, None
    parts = (reading.unit, reading.up, reading.front)
    values |= {"how": how_read(reading), "count": Count(file.triangles, "triangle", "triangles")}
    message = Sentence("{head} has {count}, read {how}.", values)
    if any(part.how is ReadingBasis.ASSUMED for part in parts):
        cells = tuple(
            (name, part.value)
            for name, part in zip(("unit", "up", "front"), parts, strict=True)
            if part.how is not ReadingBasis.STATED
        )
        remedy = Sentence("Look at it; if that is right, write it into the row.")
        fix = Fix(f"Say {', '.join(value for _, value in cells)}", "rounds", one.round, cells)
        return MeshDoubt.ASSUMED, message, remedy, fix
    return MeshDoubt.AS_STATED, message, None, None


def how_read(reading: MeshReading) -> str:
    """Unit and axes that a mesh was read by, each with where it comes from."""
    return (
        f"in {UNIT_WORDS[reading.unit.value]} ({reading.unit.how}), "
        f"{reading.up.value} up ({reading.up.how}), "
        f"{reading.front.value} to the front ({reading.front.how})"
    )


def _surface(inputs: Inputs, one: RoundAnswer, file: SculptFile) -> Finding:
    """Which landmarks lie off the mesh by more than they may, for how well they were placed."""
    spread = placing_mm(inputs, one.round)
    off = sorted(
        (mark for mark in file.marks if mark.off_mm > SPREADS * spread[mark.key]),
        key=lambda mark: -mark.off_mm,
    )
    values: dict[str, Value] = {
        "head": Name(one.name),
        "all": Count(len(file.marks), "landmark", "landmarks"),
    }
    remedy = None
    if not off:
        message = Sentence("All {all} of {head} lie on its mesh.", values)
    elif not any(mark.outward for mark in file.marks):
        values |= {"off": Measure(_middle(file), "mm", 1)}
        message = Sentence(
            "The {all} of {head} lie {off} off its mesh, in the middle: they belong to another "
            "file, or to another place, size or way up of this one; its surface is not used.",
            values,
        )
        remedy = Sentence("See that the landmarks and the file are of the same export.")
    else:
        named = tuple(mark_name(inputs, mark.key) for mark in off[:NAMED])
        values |= {"off": Count(len(off)), "worst": Measure(off[0].off_mm, "mm", 2),
                   "names": Names(named)}  # fmt: skip
        message = Sentence(
            "Of {all} of {head}, {off} lie off its mesh, by up to {worst}: {names}"
            + (" most." if len(off) > NAMED else "."),
            values,
        )
        remedy = Sentence("Place them on the surface again, or say how well they are placed.")
    return rules.SURFACE.finding(
        Subject("round", one.round),
        Evidence(measured=exact(len(off)), limit=Limit("==", 0)),
        message,
        remedy=remedy,
        weight=1.5,
    )


def _middle(file: SculptFile) -> float:
    distances = sorted(mark.off_mm for mark in file.marks)
    return distances[len(distances) // 2]
