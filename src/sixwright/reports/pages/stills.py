"""The pages of stills: which there are, and one of them with its landmarks to be marked."""

from collections.abc import Iterator, Mapping

from sixwright.kernel.sentences import Count, Name, Sentence
from sixwright.line.likeness import Key, Still
from sixwright.project.model import Project
from sixwright.reports.document import (
    Answer,
    Block,
    Document,
    Link,
    Paragraph,
)
from sixwright.reports.marking import Marking, OutlineShown, Spot, SqueezeAsk, StillReplace
from sixwright.reports.pages.stills_list import HEAD, ROWS, TOPIC
from sixwright.reports.wording.words import joined
from sixwright.topics.likeness.expected import LEAST, expected_places
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.workflows.calibrate import LEAST as TWICE
from sixwright.workflows.joins import likeness_of
from sixwright.workflows.marking import ToMark, counted, is_exhausted, sure_of, sure_px, to_mark
from sixwright.workflows.outlining import KINDS, outline_stands, outlines_on
from sixwright.workflows.rank_stills import ENOUGH, ranked_stills
from sixwright.workflows.reviewed import Review

ARM_SHARE = 90  # of the longer side is a cross's arm
SURE_WORDS = (("sharp", "Sharp"), ("soft", "Soft"), ("guess", "Guess"))
LIST = Link(TOPIC, "", "All stills")
# How wide an image is over its scene, drawn out by so much, and in words.
SQUEEZES = (
    ("1", 1.0, "As it is"),
    ("0.5", 2.0, "Drawn out to twice its width"),
)
ASK_SQUEEZE = Sentence(
    "First: in which of these are faces and round things as wide as they should be? A frame of a "
    "film shot through a squeezing lens looks narrow until it is drawn out."
)
DOTS = Sentence(
    "Places that are expected come from the sculpt as it is: look at each before you confirm it."
)


def to_stills(told: Sentence) -> Paragraph:
    """A sentence, and behind it the way to where stills are brought in and marked."""
    return Paragraph((told,), (Link(TOPIC, "", "Bring in and mark stills"),))


def still_page(review: Review, still: str) -> Document:
    """One still, large, with its landmarks to be marked.

    Raises
    ------
    KeyError
        If there is no such still.
    """
    project = review.project
    row = project.stills[still]
    reason = _why_not(project, row)
    marks = to_mark(project, still)
    blocks: list[Block] = [Answer(None, tuple(_told(project, row, marks, reason)))]
    if not reason and _is_squeeze_open(project, row):
        blocks = [Answer(None, (ASK_SQUEEZE,)), _squeeze_ask(project, row), Paragraph((), (LIST,))]
    elif not reason:
        expected = expected_places(likeness_of(project), still)
        blocks += [
            _marking(project, row, marks, expected, _after(review, still, marks)),
            Paragraph((DOTS,), (LIST, HEAD)),
            *_bars_told(row),
            StillReplace(still),
        ]
    else:
        blocks.append(Paragraph((Sentence("It is put right in its row."),), (ROWS, LIST)))
    return Document(TOPIC, f"What does {still} show?", tuple(blocks), project.locale)


def _after(review: Review, still: str, marks: tuple[ToMark, ...]) -> tuple[str, str]:
    """The still to mark after this one, or what they say; empty until this one is done with."""
    project = review.project
    if counted(marks)[0] < ENOUGH and not is_exhausted(project, still, marks):
        return "", ""
    ranked = ranked_stills(project, review.get(LIKENESS))
    left = [one.still.id for one in ranked if not one.is_done and one.still.id != still]
    return (
        (f"/{TOPIC}/{left[0]}", f"Mark {left[0]} next") if left else (f"/{HEAD.topic}", HEAD.words)
    )


def _why_not(project: Project, still: Still) -> str:
    """Why a still cannot be marked, to stand after “because”; empty where it can."""
    if not still.file:
        return "its row names no file"
    found = project.pictures.get(still.file)
    if found is None:
        return "its file was not opened"
    if found.fault:
        return found.fault
    if not still.width_px or not still.height_px:
        return "its row does not say how wide and how high it is"
    if (found.width_px, found.height_px) != (still.width_px, still.height_px):
        return (
            f"its file is {found.width_px} pixels wide and {found.height_px} high, "
            "and its row says otherwise"
        )
    return ""


def _told(
    project: Project, still: Still, marks: tuple[ToMark, ...], reason: str
) -> Iterator[Sentence]:
    """How far it is marked; or why it cannot be."""
    if reason:
        yield Sentence("It cannot be marked, because {why}.", {"why": reason})
        return
    seen, settled = counted(marks)
    count = Count(seen, "landmark is marked", "landmarks are marked")
    none = Sentence("No landmark is marked on this still yet.")
    yield Sentence("{count} on this still.", {"count": count}) if seen else none
    if settled > seen:
        left = Count(settled - seen, "is hidden or unsure", "are hidden or unsure")
        yield Sentence("{left}.", {"left": left})
    if seen < LEAST:
        more = " more" if seen else ""
        count = Count(LEAST - seen, f"{more} is marked".strip(), f"{more} are marked".strip())
        yield Sentence("Once {count}, the place of the next is shown.", {"count": count})
    elif is_exhausted(project, still.id, marks):
        yield Sentence("No landmark of the sculpt is left to mark here.")
    elif seen < ENOUGH:
        count = Count(ENOUGH - seen, "more makes twelve", "more make twelve")
        yield Sentence("{count}, which is enough.", {"count": count})
    if all(one.person != still.person for one in project.sculpts.values()):
        yield Sentence("No sculpt is of this person, so nothing can be expected beforehand.")
    if still.person:
        yield Sentence("It shows {who}.", {"who": Name(still.person)})


def shown_px(still: Still) -> tuple[int, int, int, int]:
    """What is shown of a still, px: left, top, width and height of it without its black bars."""
    left, top, right, bottom = still.bars_px
    wide, high = int(still.width_px or 0), int(still.height_px or 0)
    return left, top, wide - left - right, high - top - bottom


def _version(project: Project, still: Still) -> str:
    found = project.pictures[still.file or ""]
    return "-".join((found.sha256[:16], *(str(wide) for wide in still.bars_px)))


def _squeeze_ask(project: Project, still: Still) -> SqueezeAsk:
    _, _, width, height = shown_px(still)
    return SqueezeAsk(still.id, _version(project, still), width, height, SQUEEZES)


def _is_squeeze_open(project: Project, still: Still) -> bool:
    """Whether nobody has said yet how wide the picture is to its height."""
    row = project.records.get("stills", {}).get(still.id)
    return row is not None and not row.cells.get("squeeze", "").strip()


def _bars_told(still: Still) -> tuple[Block, ...]:
    """The black bars that are left out, and how they come back."""
    sides = [
        f"{wide} px {where}"
        for wide, where in zip(
            still.bars_px, ("at the left", "above", "at the right", "below"), strict=True
        )
        if wide
    ]
    if not sides:
        return ()
    told = Sentence(
        "Black bars are left out: {sides}. Where that is wrong, empty those cells of its row; "
        "marks stay where they are.",
        {"sides": joined(tuple(sides))},
    )
    return (Paragraph((told,), (ROWS,)),)


def _marking(
    project: Project,
    still: Still,
    marks: tuple[ToMark, ...],
    expected: Mapping[Key, tuple[float, float]],
    after: tuple[str, str],
) -> Marking:
    left, top, width, height = shown_px(still)
    spreads = sure_px(project.records)
    return Marking(
        still.id,
        _version(project, still),
        left,
        top,
        width,
        height,
        f"{left - 0.5:g} {top - 0.5:g} {width} {height}",
        f"{max(width, height) / ARM_SHARE:.1f}",
        tuple(_spot(mark, expected.get(mark.key), spreads) for mark in marks),
        tuple((value, word, f"{spreads[value]} px") for value, word in SURE_WORDS),
        counted(marks)[0] >= TWICE,
        tuple(_outlines(project, still.id)),
        KINDS,
        after,
    )


def _outlines(project: Project, still: str) -> Iterator[OutlineShown]:
    for name, rows in outlines_on(project.records, still).items():
        points = sorted((point for point in project.outlines
                         if (point.still, point.outline) == (still, name)),
                        key=lambda point: point.point)  # fmt: skip
        shown = " ".join(f"{x:.2f},{y:.2f}" for x, y in (point.place_px for point in points))
        yield OutlineShown(name, shown, outline_stands(rows))


def _spot(mark: ToMark, expected: tuple[float, float] | None, spreads: Mapping[str, str]) -> Spot:
    row = mark.row
    state = "" if row is None else row.state
    x, y = ("", "") if row is None or row.place_px is None else map(_px, row.place_px)
    at_x, at_y = ("", "") if expected is None else map(_px, expected)
    sure = sure_of(None if row is None else row.sd_px, spreads)
    said = {"seen": sure, "proposed": "proposed, not looked at", "": "not marked"}.get(state, state)
    name = mark.name[:1].upper() + mark.name[1:]
    return Spot(mark.key, name, mark.meaning, state, said, sure, x, y, at_x, at_y, mark.stands)


def _px(value: float) -> str:
    return f"{value:.2f}"
