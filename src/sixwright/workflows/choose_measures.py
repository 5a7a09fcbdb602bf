"""What two ways to go are measured by: each number with its unit and which direction is better."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import WORST_FIRST, Verdict
from sixwright.project.model import Project
from sixwright.topics.dates.model import Answer as Dates
from sixwright.topics.dates.topic import DATES
from sixwright.topics.lineup.model import Answer as Boxes
from sixwright.topics.lineup.topic import LINEUP
from sixwright.topics.money.model import Answer as Sums
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.choices_rules import TOPIC
from sixwright.workflows.reviewed import Answered

MORE, LESS = "more", "less"
BOX_MARGIN, BOX_MASS, VERDICTS = "margin_after_fixed_share", "mass_g", "verdicts"
P80 = "p80"
LABELS = {
    Verdict.FAILS: "What fails",
    Verdict.UNCHECKED: "What cannot be judged yet",
    Verdict.DOUBTFUL: "What is doubtful",
    Verdict.HOLDS: "What holds",
}
# Amounts of which the effects of two changes can be added; where the sum is not what both do
# together, the two interact. (Break-even is a ratio of such amounts: there nothing adds up.)
ADDITIVE = ("profit", "cash_asked", "fixed", "tied_up")

Known = Fraction | None
Measures = Mapping[str, Known]


@dataclass(frozen=True, slots=True)
class MeasureKind:
    """One measure: what it is called, its unit, and which direction is better.

    Attributes
    ----------
    id
        Stable name; of a box or a verdict: ``margin_after_fixed_share/muster-watch``.
    unit
        The line's currency, ``boxes``, ``g``, ``days`` or ``findings``.
    better
        ``more``, ``less``, or empty where neither is: such a measure is shown and not compared.
    """

    id: str
    label: str
    unit: str
    better: str = ""


def kinds(project: Project) -> tuple[MeasureKind, ...]:
    """The measures of a line, in the order in which they are shown.

    Parameters
    ----------
    project
        The line as it stands: each of its boxes has a margin and a mass.

    Source
    ------
    Own choice: docs/topics/choices.md, “Measures”.
    """
    money = project.currency
    named = [(id_, sold.name or id_) for id_, sold in project.sells.items()]
    return (
        MeasureKind("profit", "Profit", money, MORE),
        MeasureKind("cash_asked", "Cash asked before a box is sold", money, LESS),
        MeasureKind("fixed", "Fixed costs", money, LESS),
        MeasureKind("break_even", "Break-even", "boxes", LESS),
        MeasureKind("tied_up", "Tied up in surplus pieces", money, LESS),
        *(
            MeasureKind(
                f"{BOX_MARGIN}/{id_}", f"Margin of {name} after the fixed share", money, MORE
            )
            for id_, name in named
        ),
        *(MeasureKind(f"{BOX_MASS}/{id_}", f"Mass of {name}", "g") for id_, name in named),
        MeasureKind("lead_days", "Longest time from order to delivery", "days", LESS),
        *(MeasureKind(P80, words, "days", LESS) for words in _last_public(project)),
        *(MeasureKind(f"{VERDICTS}/{v}", LABELS[v], "findings", LESS) for v in WORST_FIRST[:3]),
        MeasureKind(f"{VERDICTS}/{Verdict.HOLDS}", LABELS[Verdict.HOLDS], "findings"),
    )


def measures(project: Project, answered: Answered) -> dict[str, Known]:
    """The measures of a line; None where one rests on something unknown, never zero.

    Parameters
    ----------
    project, answered
        The line and what its topics answered and found; the choices themselves are left out.

    Source
    ------
    Own choice: docs/topics/choices.md, “Measures”.
    """
    found: dict[str, Known] = dict.fromkeys(kind.id for kind in kinds(project))
    sums, boxes, dates = answered.get(MONEY), answered.get(LINEUP), answered.get(DATES)
    if dates is not None and P80 in found:
        found[P80] = _days_until(project, dates)
    if sums is not None:
        found |= _of_money(sums)
        found["lead_days"] = _lead_days(project, sums)
    if boxes is not None:
        found |= {f"{BOX_MASS}/{id_}": _mass_g(project, boxes, id_) for id_ in project.sells}
    findings = tuple(
        finding
        for topic, judged in answered.judged.items()
        if topic != TOPIC
        for finding in judged.findings
        if finding.subject.kind != "choice"  # it goes when the choice is taken
    )
    return found | _of_verdicts(findings)


def _last_public(project: Project) -> tuple[str, ...]:
    """What the measure of the last public milestone is called, where a line has one."""
    named = [each.name or each.id for each in project.milestones.values() if each.public]
    if len(named) > 1:
        return ("Days to the last public milestone, 4 chances in 5",)
    return tuple(f"Days to “{name}”, 4 chances in 5" for name in named)


def _days_until(project: Project, dates: Dates) -> Known:
    """Days from the start to the 80 % day of the last public milestone; None while one is open."""
    public = [id_ for id_, each in project.milestones.items() if each.public]
    told = [dates.milestones[id_] for id_ in public]
    days = [None if found is None else found.p80 for found in told]
    known = [(day - dates.start).days for day in days if day is not None]
    return Fraction(max(known)) if known and len(known) == len(public) else None


def _of_money(sums: Sums) -> dict[str, Known]:
    tied = [purchase.surplus_cost for purchase in sums.purchases]
    known = [cost for cost in tied if cost is not None]
    return {
        "profit": sums.profit,
        "cash_asked": sums.cash_asked,
        "fixed": sums.fixed,
        "break_even": sums.break_even.quantity,
        "tied_up": sum(known, Fraction(0)) if len(known) == len(tied) else None,
        **{f"{BOX_MARGIN}/{id_}": box.margin_after_fixed_share for id_, box in sums.sells.items()},
    }


def _lead_days(project: Project, sums: Sums) -> Known:
    """The latest of the parts that are needed; None while one of them is not known."""
    ways = [part.way for part in sums.parts.values() if part.need != 0]
    days = [project.ways[way].lead_days if way else None for way in ways]
    known = [each for each in days if each is not None]
    return Fraction(max(known)) if known and len(known) == len(days) else None


def _mass_g(project: Project, boxes: Boxes, sells: str) -> Known:
    """The mass of all pieces in one box; None while one of them is not known."""
    total = Fraction(0)
    for part, count in boxes.contents[sells].items():
        mass = project.parts[part].mass_g
        if count is None or (mass is None and count):
            return None
        total += count * (mass or 0)
    return total


def _of_verdicts(findings: tuple[Finding, ...]) -> dict[str, Known]:
    counted = Counter(finding.verdict for finding in findings)
    return {f"{VERDICTS}/{verdict}": Fraction(counted[verdict]) for verdict in Verdict}


def difference(here: Measures, first: Measures) -> dict[str, Known]:
    """Each measure less that of the first; None where one of the two is not known.

    Parameters
    ----------
    here, first
        Measures by id.

    Source
    ------
    docs/topics/choices.md.
    """
    return {id_: _less(here.get(id_), first.get(id_)) for id_ in dict.fromkeys((*first, *here))}


def _less(one: Known, other: Known) -> Known:
    return None if one is None or other is None else one - other
