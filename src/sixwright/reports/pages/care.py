"""“What could hurt someone?”: cautions of each box, what is still to be said, and the rules."""

from datetime import date

from sixwright.kernel.sentences import Count, Names, Sentence, Value
from sixwright.project.model import Project
from sixwright.reports.document import (
    Answer,
    Block,
    Cell,
    CellAddress,
    Column,
    Document,
    Fold,
    Heading,
    Paragraph,
    Plate,
    Row,
    Table,
)
from sixwright.reports.pages.rows import row_anchor
from sixwright.reports.pages.topic import closing, of_topic, tally
from sixwright.reports.wording.evidence import open_findings
from sixwright.reports.wording.words import say
from sixwright.topics.care.cautions import DECIDES, for_buyers, many, short
from sixwright.topics.care.checks import questions
from sixwright.topics.care.model import Answer as Care
from sixwright.topics.care.model import PartCare
from sixwright.topics.care.pictures import pictures
from sixwright.topics.care.regulations import REGULATIONS
from sixwright.topics.care.small_parts import GaugeFit
from sixwright.topics.care.sources import SOURCES
from sixwright.topics.care.topic import CARE
from sixwright.topics.care.workshop import BENCHES
from sixwright.workflows.reviewed import Review

METHOD = (
    Sentence("What can hurt is what you state of each part. Nothing is taken from a mesh."),
    Sentence(
        "Where kind, name, quote, process or note suggests more, the page asks; it assumes nothing."
    ),
    Sentence(
        "A part is small by its size where a box of its three lengths fits the shallow side of the "
        "small-parts cylinder, 31.75 mm across and 25.4 mm deep."
    ),
    Sentence(
        "The flux index of a disc magnet is worked out from its grade and size: the squared field "
        "about 0.38 mm above the pole, times the pole’s area."
    ),
    Sentence("No verdict here says that a box is safe, and none takes the place of a test."),
)
NAMED = 4  # parts named in a row; more are counted


def page(review: Review) -> Document:
    """The page of care."""
    project, care = review.project, review.of(CARE)
    findings = of_topic(review, CARE.id)
    leading = [finding.message for finding in open_findings(findings)[:1]]
    blocks: tuple[Block, ...] = (
        Answer(review.verdicts[CARE.id], (tally(findings), *leading, DECIDES)),
        *(Plate(picture) for picture in pictures(review.inputs_of(CARE), care)),
        _boxes(project, care),
        _parts(project, care),
        *_bench(project, care),
        Heading("What the rules say", "care-rules"),
        _rules(review.today),
        *closing(review, CARE.id, METHOD, SOURCES),
    )
    return Document(CARE.id, CARE.question, blocks, project.locale)


def _boxes(project: Project, care: Care) -> Table:
    """What to print on each box, and of how many of its parts nothing is stated."""
    rows = []
    for sells, hazards in care.boxes.items():
        said = " ".join(say(sentence, project.locale) for sentence in for_buyers(hazards))
        open_ = len(care.not_stated[sells])
        rows.append(
            Row(
                (
                    Cell(project.sells[sells].name or sells),
                    Cell(said or ("nothing is known yet" if open_ else "no caution is stated")),
                    Cell(Count(open_), nothing=not open_),
                ),
                anchor=f"box-{row_anchor(sells)}",
            )
        )
    columns = (
        Column("Box"),
        Column("What to print on it", wide=True),
        Column("Parts not stated", numeric=True),
    )
    caption = (
        Sentence(
            "The sheet for buyers says the same. It can name only what you state, and small "
            "parts by their size."
        ),
        DECIDES,
    )
    return Table("Cautions on each box", columns, tuple(rows), caption)


def _parts(project: Project, care: Care) -> Table:
    """Each part, those first of which something is to be said."""
    order = sorted(care.parts, key=lambda id_: _rank(care.parts[id_]))
    rows = tuple(_part(project, id_, care.parts[id_]) for id_ in order)
    columns = (
        Column("Part"),
        Column("Hazards", wide=True),
        Column("Asked", wide=True),
        Column("Fits the small-parts cylinder"),
    )
    caption = (Sentence("Write none where nothing of it can hurt; an empty cell is not known."),)
    return Table("Part by part", columns, rows, caption, frozen=True)


def _rank(part: PartCare) -> int:
    """What is asked first, then what hurts, then what nobody has said, then the rest."""
    if part.asked:
        return 0
    return 1 if part.stated else 2 if part.stated is None else 3


def _part(project: Project, id_: str, part: PartCare) -> Row:
    fits = {GaugeFit.FITS: "yes", GaugeFit.TOO_LONG: "no", GaugeFit.UNKNOWN: None}.get(
        part.fit, str(part.fit)
    )
    stated = None if part.stated is None else short(part.stated) or "none"
    return Row(
        (
            Cell(project.parts[id_].called),
            Cell(stated, place=CellAddress("parts", id_, "hazards")),
            Cell(questions(part.asked), nothing=not part.asked),
            Cell(fits),
        ),
        anchor=f"care-{row_anchor(id_)}",
    )


def _bench(project: Project, care: Care) -> tuple[Block, ...]:
    """What those who make the parts should mind, by what the processes say."""
    rows = tuple(
        Row((Cell(bench.work), Cell(bench.caution), Cell(_names(project, care.bench[bench.work]))))
        for bench in BENCHES
        if bench.work in care.bench
    )
    if not rows:
        return ()
    columns = (Column("Work"), Column("Usual cautions", wide=True), Column("Parts", wide=True))
    caption = (Sentence("The safety data sheet of what is used decides, and local codes do."),)
    return (Table("In the workshop", columns, rows, caption),)


def _names(project: Project, parts: tuple[str, ...]) -> Sentence:
    names = tuple(project.parts[id_].called for id_ in parts[:NAMED])
    values: dict[str, Value] = {"names": Names(names)}
    if len(parts) <= NAMED:
        return Sentence("{names}", values)
    values["more"] = Count(len(parts) - NAMED, "other", "others")
    return Sentence("{names} and {more}", values)


def _rules(today: date) -> Fold:
    """The rules as data: where they hold, what they leave out, how sure we are, how old."""
    columns = (
        Column("Rule"),
        Column("Where, and edition"),
        Column("What it asks", wide=True),
        Column("What it leaves out", wide=True),
        Column("Our reading"),
    )
    rows = tuple(
        Row(
            (
                Cell(each.title),
                Cell(each.jurisdiction, detail=each.edition),
                Cell(each.says, detail=_bears_on(each.hazards)),
                Cell(each.leaves_out),
                Cell(
                    str(each.sure),
                    detail=Sentence(
                        "{day}, {age} ago",
                        {
                            "day": each.taken_down,
                            "age": Count(each.age_months(today), "month", "months"),
                        },
                    ),
                ),
            )
        )
        for each in REGULATIONS
    )
    summary = Sentence("{count} that bear on it", {"count": Count(len(rows), "rule", "rules")})
    told = Paragraph((Sentence("Rules change. Read the text in force before you rely on it."),
                      DECIDES))  # fmt: skip
    return Fold(summary, (told, Table("Rules", columns, rows)), "care-regulations")


def _bears_on(hazards: tuple[str, ...]) -> str | None:
    return f"On: {many(hazards)}." if hazards else None
