"""The table of sculpt files: what each is, how it was read, and what is odd about it."""

from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Measure, Sentence
from sixwright.line.meshes import MeshConvention, MeshReading, Oddity
from sixwright.reports.document import Cell, CellAddress, Column, Row, Table
from sixwright.topics.likeness.model import Answer
from sixwright.topics.likeness.sculpts import SculptFile

NO = Cell(nothing=True)


def files(heads: Answer) -> Table | None:
    """Every file that a round names; None where no round names one that could be asked for."""
    if not heads.files:
        return None
    names = {one.round: one.name for one in heads.rounds}
    columns = (
        Column("Round"),
        Column("File", wide=True),
        Column("Triangles", numeric=True),
        Column("Width, height, depth", numeric=True, unit="mm"),
        Column("Unit"),
        Column("Up"),
        Column("Front"),
        Column("Odd", wide=True),
    )
    caption = (
        Sentence("Stated: the row says so; format: the file does."),
        Sentence("Guessed: its size and shape do; assumed: nothing does, and the usual was taken."),
        Sentence("Nothing is rescaled, closed or repaired."),
    )
    rows = tuple(_file(each, names[each.round]) for each in heads.files)
    return Table("Sculpt files", columns, rows, caption)


def _file(file: SculptFile, name: str) -> Row:
    named = (Cell(name), Cell(file.path, place=CellAddress("rounds", file.round, "mesh")))
    if file.reading is None or file.size_mm is None:
        said = "not in the folder" if not file.is_there else file.refusal
        return Row((*named, *(NO for _ in range(5)), Cell(said)), verdict=Verdict.FAILS)
    sides = Sentence(
        "{x} × {y} × {z}",
        {name: Measure(side, "", 1) for name, side in zip("xyz", file.size_mm, strict=True)},
    )
    return Row(
        (*named, Cell(Count(file.triangles)), Cell(sides), *_read(file.round, file.reading),
         _odd(file.oddities))
    )  # fmt: skip


def _read(round_: str, reading: MeshReading) -> tuple[Cell, ...]:
    """Unit and axes, and under each where it comes from."""
    return tuple(
        _taken(taken, CellAddress("rounds", round_, column))
        for column, taken in (("unit", reading.unit), ("up", reading.up), ("front", reading.front))
    )


def _taken(taken: MeshConvention, place: CellAddress) -> Cell:
    return Cell(taken.value, detail=str(taken.how), place=place)


def _odd(oddities: tuple[Oddity, ...]) -> Cell:
    if not oddities:
        return NO
    template = "; ".join(
        each.sentence.template.replace("{", f"{{o{i}_") for i, each in enumerate(oddities)
    )
    values = {
        f"o{i}_{name}": value
        for i, each in enumerate(oddities)
        for name, value in each.sentence.values.items()
    }
    return Cell(Sentence(template, values))
