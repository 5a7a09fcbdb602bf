"""The tables of likeness: a head's landmarks, rounds, stills, and which still would tell."""

from fractions import Fraction

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Interval, Verdict
from sixwright.kernel.sentences import Count, Measure, Sentence, Share, Value
from sixwright.line.likeness import Key
from sixwright.project.model import Project
from sixwright.reports.document import Cell, CellAddress, Column, Link, Row, Table
from sixwright.reports.wording.evidence import anchor
from sixwright.topics.likeness.directions import feature_way, right_way
from sixwright.topics.likeness.further.model import Viewpoint
from sixwright.topics.likeness.model import Feature, LandmarkAnswer, RoundAnswer, StillAnswer
from sixwright.topics.likeness.remedies import chance_words

RANK = (Verdict.FAILS, Verdict.DOUBTFUL, Verdict.HOLDS, Verdict.UNCHECKED)
# Verdicts that a head's table tells; what fails or holds is also listed below it.
TOLD_HERE = frozenset({Verdict.DOUBTFUL, Verdict.UNCHECKED})
BEST_VIEWS = 3
REASONS = {
    "unseen": "in no still",
    "blind": "not located in one direction",
    "contested": "its sightings contradict each other",
    "few-stills": "too few stills",
    "one-sighting": "marked in one still only",
    "two-sightings": "sighted twice",
    "stray-outline": "an outline not used says otherwise",
    "many": "chance among so many",
    "only-believed": "less so by its own stills",
    "curved": "stills too alike",
    "flipped": "head or stills left for right",
    "exchanged": "its name and another seem exchanged",
    "misfit": "the sightings fit no head",
    "bent": "stills bent as by a slant",
}
WHY_NOT = {
    "file": "its file is not there, or not what its row says",
    "size": "its size is not known",
    "sightings": "too few sightings",
    "frame": "its size does not go with its sightings",
    "copy": "the sightings of another still",
    "unfit": "fits no camera",
    "robbed": "too few right sightings",
    "sides": "left and right marked the other way round",
    "swapped": "mirrored, and marked the other way round",
    "unsolved": "no cameras were found",
    "slant": "bent, as a picture of a picture at a slant",
}
NO = Cell(nothing=True)


def landmarks(one: RoundAnswer, findings: tuple[Finding, ...]) -> Table:
    """Where a head is off: worst first, what no still tells last."""
    anchors = {
        finding.subject.id: anchor(finding)
        for finding in findings
        if finding.rule == "correction" and finding.verdict in TOLD_HERE
    }
    marks = sorted(one.landmarks, key=lambda mark: (RANK.index(mark.verdict), -mark.weight_mm))
    columns = (
        Column("Landmark"),
        Column("Move it"),
        Column("Off", numeric=True, unit="mm"),
        Column("95 %", numeric=True, unit="mm"),
        Column("Allowed", numeric=True, unit="mm"),
        Column("Off by more", unit="chance"),
        Column("Seen in", numeric=True, unit="stills"),
        Column("Verdict"),
    )
    rows = tuple(_landmark(one, mark, anchors) for mark in marks)
    caption = (
        Sentence("Moves are asked where more than 2 in 10 would be off by more than allowed."),
        Sentence("Leave alone what has no move."),
    )
    return Table(f"Where {one.name} is off", columns, rows, caption)


def _landmark(one: RoundAnswer, mark: LandmarkAnswer, anchors: dict[str, str]) -> Row:
    subject = f"{one.round}/{mark.landmark}/{mark.side}"
    why = REASONS.get(mark.reason, mark.reason)
    cells = (
        _named(mark),
        NO if mark.ask_mm is None else Cell(Sentence(*right_way(mark))),
        _mm(mark.off_mm.value if mark.off_mm else None),
        _range(mark.off_mm),
        _mm(mark.tolerance_mm),
        _chance(mark.chance_off),
        Cell(Count(mark.sightings)),
        Cell(str(mark.verdict), verdict=mark.verdict, detail=why or None),
    )
    verdict = mark.verdict if mark.verdict in {Verdict.FAILS, Verdict.DOUBTFUL} else None
    return Row(cells, verdict=verdict, anchor=anchors.get(subject, ""))


def features(one: RoundAnswer) -> Table:
    """How each feature is off as a whole, worst first."""
    columns = (
        Column("Feature"),
        Column("Move as a whole"),
        Column("Shared move", numeric=True, unit="mm"),
        Column("95 %", numeric=True, unit="mm"),
        Column("Size", numeric=True, unit="%"),
        Column("Off by more", unit="chance"),
        Column("Verdict"),
    )
    rows = tuple(_feature(feature) for feature in one.features)
    caption = (
        Sentence("The shared move is the mean of what a feature’s landmarks lack."),
        Sentence("A size of 90 % asks for a smaller feature."),
    )
    return Table(f"{one.name}, by feature", columns, rows, caption)


def _feature(feature: Feature) -> Row:
    move = feature.move_mm
    cells = (
        Cell(feature.name[:1].upper() + feature.name[1:]),
        NO if move is None else Cell(Sentence(*feature_way(move, feature.name))),
        _mm(feature.distance_mm.value),
        _range(feature.distance_mm),
        NO if feature.size is None else Cell(Measure(100 * feature.size.value, "", 0)),
        _chance(feature.chance_off),
        Cell(str(feature.verdict), verdict=feature.verdict),
    )
    verdict = feature.verdict if feature.verdict in TOLD_HERE | {Verdict.FAILS} else None
    return Row(cells, verdict=verdict)


def _chance(chance: float | None) -> Cell:
    return NO if chance is None else Cell(chance_words(chance))


def _named(mark: LandmarkAnswer) -> Cell:
    """A landmark in plain words and, behind them, by its term."""
    values: dict[str, Value] = {"name": mark.name[:1].upper() + mark.name[1:], "id": mark.landmark}
    return Cell(Sentence("{name} ({id})", values))


def _mm(value: float | Fraction | None) -> Cell:
    return NO if value is None else Cell(Measure(value, "", 2))


def _range(interval: Interval | None) -> Cell:
    if interval is None:
        return NO
    values = {"low": Measure(interval.low, "", 2), "high": Measure(interval.high, "", 2)}
    return Cell(Sentence("{low} to {high}", values))


def rounds(them: list[RoundAnswer], name: str) -> Table | None:
    """What is or was wrong, or moved, over the rounds of a head; None where nothing did."""
    ordered = sorted(them, key=lambda one: one.number or 0)
    by_key: dict[Key, dict[str, LandmarkAnswer]] = {}
    for one in ordered:
        for mark in one.landmarks:
            by_key.setdefault(mark.key, {})[one.round] = mark
    told = {key: marks for key, marks in by_key.items() if _is_told(marks)}
    if not told:
        return None
    columns = (
        Column("Landmark"),
        *(Column(f"Round {one.number}", numeric=True, unit="mm off") for one in ordered),
        Column("Moved since", numeric=True, unit="mm"),
    )
    rows = []
    for marks in told.values():
        last = list(marks.values())[-1]
        offs = [_told(marks.get(one.round)) for one in ordered]
        moved = _mm(last.moved_mm.value) if last.moved_mm else NO
        rows.append(Row((_named(last), *offs, moved)))
    return Table(f"{name}: from round to round", columns, tuple(rows))


def _is_told(marks: dict[str, LandmarkAnswer]) -> bool:
    return any(
        mark.verdict is Verdict.FAILS or (mark.moved_mm and mark.moved_mm.low > mark.tolerance_mm)
        for mark in marks.values()
    )


def _told(mark: LandmarkAnswer | None) -> Cell:
    if mark is None or mark.off_mm is None:
        return NO
    return Cell(Measure(mark.off_mm.value, "", 2), detail=str(mark.verdict))


def stills(project: Project, person: str, one: RoundAnswer) -> Table:
    """How each still of a person was taken, and how well its sightings fit."""
    columns = (
        Column("Still"),
        Column("Focal length", numeric=True, unit="px"),
        Column("95 %", numeric=True, unit="px"),
        Column("Fit", numeric=True, unit="px"),
        Column("Sightings", numeric=True),
        Column("Left out"),
        Column("Squeeze", numeric=True, unit="as stated"),
        Column("Found", numeric=True),
        Column("Mirrored", unit="as stated"),
        Column("Found"),
    )
    rows = tuple(_still(project, still) for still in one.stills)
    caption = (
        Sentence("Fit is the root mean square distance of the sightings that were kept."),
        Sentence("What was left out lies where no other still puts it."),
    )
    return Table(f"The stills of {person}", columns, rows, caption)


def _still(project: Project, still: StillAnswer) -> Row:
    stated = project.stills[still.id]
    names = ", ".join(f"{side} {id_}" if side != "mid" else id_ for id_, side in still.rejected)
    mirrored = {None: None, True: "yes", False: "no"}[stated.mirrored]
    why = None if still.used else WHY_NOT.get(still.reason, still.reason)
    shown = Cell(still.id, detail=why, link=Link(f"stills/{still.id}", "", still.id))
    f = still.f_px
    cells = (
        shown,
        NO if f is None else Cell(Count(round(f.value))),
        NO if f is None else Cell(_whole_range(f)),
        _px(still.residual_rms_px),
        Cell(Count(still.sightings)),
        Cell(names, nothing=not names),
        Cell(Measure(stated.squeeze, "", 2), place=CellAddress("stills", still.id, "squeeze")),
        Cell(Measure(still.squeeze, "", 3)) if still.used else NO,
        Cell(mirrored, place=CellAddress("stills", still.id, "mirrored")),
        Cell("yes" if still.mirrored else "no") if still.used else NO,
    )
    return Row(cells, verdict=Verdict.FAILS if still.flaws else None)


def _px(value: float | None) -> Cell:
    return NO if value is None else Cell(Measure(value, "", 1))


def _whole_range(interval: Interval) -> Sentence:
    values = {"low": Count(round(interval.low)), "high": Count(round(interval.high))}
    return Sentence("{low} to {high}", values)


def views(one: RoundAnswer, name: str) -> Table:
    """Which further still would tell the most, best first."""
    columns = (
        Column("Stand"),
        Column("Eye height"),
        Column("Cuts the uncertainty by", numeric=True),
        Column("More to judge", numeric=True, unit="landmarks"),
    )
    rows = tuple(_view(found) for found in one.next_views[:BEST_VIEWS])
    return Table(f"{name}: which still would tell more", columns, rows)


def _view(found: Viewpoint) -> Row:
    side = "left" if found.yaw_deg > 0 else "right"
    turned = Measure(abs(found.yaw_deg), "°", 0)
    where = Sentence(f"{{turned}} to the figure’s {side}", {"turned": turned})
    height = (
        "level" if not found.pitch_deg else "from above" if found.pitch_deg > 0 else "from below"
    )
    return Row(
        (
            Cell(where if found.yaw_deg else "straight ahead"),
            Cell(height),
            Cell(Share(found.gain, 0)),
            Cell(Count(found.judged), nothing=not found.judged),
        )
    )
