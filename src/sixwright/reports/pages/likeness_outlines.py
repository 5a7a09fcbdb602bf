"""The table of outlines: how far each that was drawn on a still lies from the sculpt's."""

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Measure, Sentence, Share
from sixwright.reports.document import Cell, Column, Link, Row, Table
from sixwright.reports.wording.evidence import anchor
from sixwright.topics.likeness.model import RoundAnswer
from sixwright.topics.likeness.outlines.model import OutlineAnswer

NO = Cell(nothing=True)
WHY_NOT = {
    "apart": "not judged: hair and masks are no part of the face",
    "unlike": "runs along no outline of the sculpt",
    "meant": "not judged: the sculpt is meant to differ there",
    "unused": "its still was not used",
    "stray": "not used: all else says otherwise",
    "contested": "not used: another outline contradicts it",
    "elsewhere": "not judged: held against another head it follows another edge",
    "alone": "not used: nothing else says so",
}
RANK = (Verdict.FAILS, Verdict.DOUBTFUL, Verdict.HOLDS, Verdict.UNCHECKED)
TOLD_HERE = frozenset({Verdict.DOUBTFUL, Verdict.UNCHECKED})


def outlines(one: RoundAnswer, findings: tuple[Finding, ...]) -> tuple[Table, ...]:
    """Each outline at its worst, what is shown to be off first; None where none was drawn."""
    shown = [line for line in one.outlines if line.reason != "expression"]
    if not shown:
        return ()
    anchors = {
        finding.subject.id: anchor(finding)
        for finding in findings
        if finding.rule == "outline" and finding.verdict in TOLD_HERE
    }
    columns = (
        Column("Still"),
        Column("Outline"),
        Column("Off at its worst", numeric=True, unit="mm"),
        Column("95 %", numeric=True, unit="mm"),
        Column("The person is"),
        Column("Across from the sculpt’s", numeric=True, unit="of what was drawn"),
        Column("Verdict"),
    )
    rows = sorted(shown, key=lambda line: (RANK.index(line.verdict), -_size(line)))
    caption = (
        Sentence("Of each outline the 3 mm that are off most, or may be."),
        Sentence("What moves with the face is held against the head of its expression only."),
        Sentence("Outside: the person reaches further out than the sculpt there."),
    )
    made = tuple(_row(one, line, anchors) for line in rows)
    return (Table(f"Outlines against {one.name}", columns, made, caption),)


def _size(line: OutlineAnswer) -> float:
    return 0.0 if line.worst is None else float(line.worst.off_mm.value)


def _row(one: RoundAnswer, line: OutlineAnswer, anchors: dict[str, str]) -> Row:
    worst = line.worst
    shown = Cell(line.still, link=Link(f"stills/{line.still}", "", line.still))
    if worst is None:
        told = (NO, NO, NO)
    else:
        values = {
            "low": Measure(worst.off_mm.low, "", 2),
            "high": Measure(worst.off_mm.high, "", 2),
        }
        told = (
            Cell(Measure(worst.off_mm.value, "", 2)),
            Cell(Sentence("{low} to {high}", values)),
            Cell("outside" if worst.out else "inside"),
        )
    why = WHY_NOT.get(line.reason)
    share = NO if not line.across else Cell(Share(line.across / line.drawn, 0))
    said = Cell(str(line.verdict), verdict=line.verdict, detail=why)
    is_open = line.verdict in {Verdict.FAILS, Verdict.DOUBTFUL}
    return Row(
        (shown, Cell(line.outline), *told, share, said),
        verdict=line.verdict if is_open else None,
        anchor=anchors.get(f"{one.round}/{line.still}/{line.outline}", ""),
    )
