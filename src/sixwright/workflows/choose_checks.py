"""Whether each open choice can be compared, and whether what one was taken on still holds."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from sixwright.kernel.currency import CURRENCIES, Money, decimal_text
from sixwright.kernel.errors import Problem
from sixwright.kernel.findings import Evidence, Finding, Rule, Subject
from sixwright.kernel.intervals import Limit, exact
from sixwright.kernel.sentences import Count, Measure, Name, Sentence, Value, Whole
from sixwright.project.choices import Alternative, Choice, Decision
from sixwright.project.names import cell_name
from sixwright.project.records import Change, Records
from sixwright.workflows.choices_model import Choices, Effect
from sixwright.workflows.choices_rules import OPEN, TAKEN, ChoiceDoubt
from sixwright.workflows.choose_measures import VERDICTS, Known, MeasureKind, Measures

# Places after the point to which the numbers of a taken choice are written down.
PLACES = 6
MOST_SAID = 3
NONE = Limit("<=", 0)


def findings(choosing: Choices) -> tuple[Finding, ...]:
    """Every open choice and every taken one, judged.

    Parameters
    ----------
    choosing
        The choices of a line.

    Source
    ------
    docs/topics/choices.md lists the rules.
    """
    taken = [choice for choice in choosing.project.choices.values() if choice.taken is not None]
    return (
        *(_open(choosing, choice) for choice in choosing.open.values()),
        *(_taken(choosing, choice, choice.taken) for choice in taken if choice.taken),
    )


def _open(choosing: Choices, choice: Choice) -> Finding:
    effects = [each for each in choosing.effects if each.choice == choice.id]
    unfit = [each for each in effects if each.problems]
    unknown = [each for each in effects if each.missing]
    if unfit:
        return _unfit(choosing, choice, unfit[0])
    if unknown:
        return _found(
            OPEN,
            choice,
            Sentence(
                "{question} What “{way}” would earn is not known yet.",
                {"question": choice.question, "way": Name(_named(choice, unknown[0]))},
            ),
            remedy=Sentence("Fill in what is missing."),
            missing=unknown[0].missing,
        )
    return _found(OPEN, choice, said(choosing, choice, effects), bad=0)


def said(choosing: Choices, choice: Choice, effects: list[Effect]) -> Sentence:
    """The question and what its best other way does to the profit, in one sentence."""
    best = max(effects, key=_profit)
    profit = best.profit or Fraction(0)
    values: dict[str, Value] = {
        "question": choice.question,
        "way": Name(_named(choice, best)),
        "first": Name(choice.first.name),
    }
    if not profit:
        return Sentence("{question} “{way}” would earn as much as “{first}”.", values)
    values["amount"] = Whole(Money(abs(profit), choosing.project.currency))
    if profit > 0:
        return Sentence("{question} “{way}” would earn {amount} more than “{first}”.", values)
    return Sentence(
        "{question} No other option earns more than “{first}”: “{way}” would earn {amount} less.",
        values,
    )


def moves_most(choosing: Choices) -> tuple[Choice, Sentence] | None:
    """The open choice whose alternatives move the profit the most, and what they do, in words.

    Parameters
    ----------
    choosing
        The choices of a line.

    Returns
    -------
    tuple or None
        None while no choice is open, or nothing is known of what one does.

    Source
    ------
    docs/topics/choices.md.
    """
    known = [each for each in choosing.effects if each.profit is not None]
    if not known:
        return None
    most = max(known, key=lambda each: abs(_profit(each)))
    choice = choosing.open[most.choice]
    return choice, said(choosing, choice, [each for each in known if each.choice == choice.id])


def _profit(effect: Effect) -> Fraction:
    return effect.profit or Fraction(0)


def _named(choice: Choice, effect: Effect) -> str:
    alternative = choice.alternative(effect.alternative)
    return alternative.name if alternative else effect.alternative


def _found(  # noqa: PLR0913  a finding has this many sides
    rule: Rule,
    choice: Choice,
    message: Sentence,
    *,
    remedy: Sentence | None = None,
    missing: tuple[str, ...] = (),
    bad: int | None = None,
    doubt: ChoiceDoubt | None = None,
) -> Finding:
    seen = Evidence(None if bad is None else exact(bad), NONE, missing, doubt)
    subject = Subject("choice", choice.id)
    return rule.finding(subject, seen, message, remedy=remedy, weight=float(bad or 0))


def _unfit(choosing: Choices, choice: Choice, effect: Effect) -> Finding:
    """An alternative that no longer starts from what stands in the folder, or cannot be read."""
    alternative = choice.alternative(effect.alternative)
    records = choosing.project.records
    stale = stale_changes(alternative, records) if alternative else ()
    way = Name(_named(choice, effect))
    if stale:
        return _stale(choice, way, stale[0], records)
    problem = effect.problems[0]
    return _found(
        OPEN,
        choice,
        Sentence(
            "{question} “{way}” cannot be tried: {problem}",
            {"question": choice.question, "way": way, "problem": str(problem)},
        ),
        remedy=Sentence("Change the alternative in {file}, or take it out.", {"file": choice.file}),
        missing=(_cell_of(problem, alternative),),
    )


def _cell_of(problem: Problem, alternative: Alternative | None) -> str:
    """The cell that an alternative stumbles over, as ``table/id/column``."""
    changes = alternative.changes if alternative else ()
    near = [each for each in changes if each.column == problem.column] or list(changes)
    change = near[0]
    return f"{change.table}/{change.id}/{change.column or problem.column or 'id'}"


def stale_changes(alternative: Alternative, records: Records) -> tuple[Change, ...]:
    """Its changes of cells that do not stand as they did when it was thought of."""
    return tuple(
        change
        for change in alternative.changes
        if change.column and change.was is not None
        if (row := records.get(change.table, {}).get(change.id)) is not None
        if row.cells.get(change.column, "").strip() != change.was.strip()
    )


def _stale(choice: Choice, way: Name, change: Change, records: Records) -> Finding:
    column = change.column or ""
    now = records[change.table][change.id].cells.get(column, "").strip()
    was, stands = change.was or "nothing", now or "nothing"
    return _found(
        OPEN,
        choice,
        Sentence(
            "{question} “{way}” cannot be tried: it starts from “{was}” ({cell}), "
            "and “{now}” stands there now.",
            {
                "question": choice.question,
                "way": way,
                "was": was,
                "cell": cell_name(records, change.table, change.id, column),
                "now": stands,
            },
        ),
        remedy=_fresh_start(choice, change, was, stands),
        missing=(f"{change.table}/{change.id}/{column}",),
    )


def _fresh_start(choice: Choice, change: Change, was: str, stands: str) -> Sentence:
    if stands == (change.value or "nothing"):
        return Sentence(
            "The folder already stands as this option would have it: put the cell back to “{was}”, "
            "then take the option, with its reason.",
            {"was": was},
        )
    return Sentence(
        "If the alternative is still meant, write “{now}” for “was” in {file}; "
        "or put the cell back to “{was}”.",
        {"now": stands, "file": choice.file, "was": was},
    )


def recorded(found: Measures) -> dict[str, str]:
    """Measures as they are written down with a choice that is taken; the unknown are left out.

    Parameters
    ----------
    found
        Of the line with the alternative that is taken.

    Source
    ------
    Own choice: six places, as `check --json` gives money at least.
    """
    return {id_: decimal_text(value, PLACES) for id_, value in found.items() if value is not None}


@dataclass(frozen=True, slots=True)
class Moved:
    """A measure that a choice rested on: as it was, and as it is now (None: not known)."""

    kind: MeasureKind
    then: Fraction
    now: Known


def moved(taken: Decision, found: Measures, kinds: Mapping[str, MeasureKind]) -> tuple[Moved, ...]:
    """The numbers of a taken choice that are no longer so, to the places that were written.

    Parameters
    ----------
    taken
        With its numbers; what is no number, or no measure of this line, counts as moved.
    found
        The measures of the line as it stands.
    kinds
        By id.

    Source
    ------
    docs/topics/choices.md, “What was taken”.
    """
    out = []
    for id_, text in taken.numbers.items():
        try:
            then = Decimal(text.strip())
        except InvalidOperation:
            continue
        if not then.is_finite():
            continue
        kind = kinds.get(id_) or MeasureKind(id_, id_, "")
        now = found.get(id_)
        exponent = then.as_tuple().exponent
        places = max(0, -exponent) if isinstance(exponent, int) else 0
        was = Fraction(then)
        if now is None or decimal_text(now, places) != decimal_text(was, places):
            out.append(Moved(kind, was, now))
    return tuple(out)


def _taken(choosing: Choices, choice: Choice, taken: Decision) -> Finding:
    alternative = choice.alternative(taken.alternative)
    values: dict[str, Value] = {
        "question": choice.question,
        "way": Name(alternative.name if alternative else taken.alternative),
        "date": taken.date,
        "by": taken.by,
    }
    head = "{question} “{way}” was taken on {date} by {by}"
    if not taken.numbers:
        return _found(
            TAKEN,
            choice,
            Sentence(head + "; the numbers that it rested on were not written down.", values),
            remedy=Sentence("Open the choice again and take it, so that its numbers are kept."),
            missing=(f"{choice.file}/taken/numbers",),
        )
    kinds = {kind.id: kind for kind in choosing.kinds}
    gone = moved(taken, choosing.measures, kinds)
    if not gone:
        text = head + "; the numbers that it rested on still hold."
        return _found(TAKEN, choice, Sentence(text, values), bad=0)
    words, more = _moved_words(gone)
    return _found(
        TAKEN,
        choice,
        Sentence(f"{head}; since then {words}.", values | more),
        remedy=Sentence(
            "Look at the options again: keep this one with today’s numbers, or open the choice."
        ),
        bad=len(gone),
        doubt=ChoiceDoubt.MOVED,
    )


def _moved_words(gone: tuple[Moved, ...]) -> tuple[str, dict[str, Value]]:
    """What moved, in words: verdict counts last, and only so many."""
    order = sorted(gone, key=lambda each: each.kind.id.startswith(VERDICTS))
    words: list[str] = []
    values: dict[str, Value] = {}
    for i, each in enumerate(order[:MOST_SAID]):
        label = each.kind.label
        values |= {
            f"label{i}": label[:1].lower() + label[1:] if each.kind.unit else label,
            f"then{i}": amount(each.then, each.kind.unit),
            f"now{i}": "unknown" if each.now is None else amount(each.now, each.kind.unit),
        }
        words.append(f"{{label{i}}} went from {{then{i}}} to {{now{i}}}")
    if len(order) > MOST_SAID:
        values["more"] = Count(len(order) - MOST_SAID, "more measure", "more measures")
        words.append("{more} moved")
    return _joined(words), values


def _joined(words: list[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last


def amount(value: Fraction, unit: str) -> Value:
    """A measure's value with its unit: money to its minor unit, the rest as it counts."""
    if unit in CURRENCIES:
        return Money(value, unit)
    if unit == "boxes":
        return Count(-int(-value // 1), "box", "boxes")
    if value.denominator == 1:
        return Count(int(value), unit, unit) if unit == "g" else Count(int(value), unit[:-1], unit)
    return Measure(value, unit, 1)
