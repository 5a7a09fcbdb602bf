"""“Which way should we go?”: the open choices side by side, alone and all together."""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from sixwright.kernel.currency import Money
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Measure, Name, Names, Sentence, Value, Whole
from sixwright.kernel.sources import Source
from sixwright.reports.document import Answer, Block, Document, Heading, Paragraph, Plate
from sixwright.reports.pages.choices_tables import all_together, side_by_side, taken_table
from sixwright.reports.pages.topic import closing
from sixwright.reports.wording.words import spelled
from sixwright.topics.money.model import Lead
from sixwright.workflows.choices_model import Choices
from sixwright.workflows.choices_topic import CHOICES
from sixwright.workflows.choose_checks import amount, moves_most
from sixwright.workflows.choose_combine import counted, names
from sixwright.workflows.choose_model import Compared, Exclusion, Extent, Interaction, Weighed
from sixwright.workflows.choose_pictures import ahead, over_orders
from sixwright.workflows.compare import compare
from sixwright.workflows.reviewed import Review

ALWAYS = (Fraction(0), None)
METHOD = (
    Sentence("Each option is the whole line computed anew with its changes; nothing is estimated."),
    Sentence("The first option of each choice is the folder as it stands."),
    Sentence("Over orders, all orders grow and shrink together and every quote is read again."),
    Sentence("Two interact where what both do is not the sum of what each does alone."),
    Sentence("What lacks a number is never said to be worse than another, nor better."),
    Sentence("The numbers do not decide: how a thing looks and sells is yours to judge."),
)
SOURCES = (
    Source(
        "choices-definition",
        "Own choice: “Which way should we go?” in the manual defines measures, and what is worse",
    ),
    Source(
        "pareto-dominance",
        "No worse on any count and better on one: Pareto dominance",
        locator="Keeney and Raiffa, Decisions with Multiple Objectives, 1976 (from memory)",
    ),
    Source(
        "factorial-interaction",
        "Effects that do not add up: the interaction of a two-level factorial experiment",
        locator="Box, Hunter and Hunter, Statistics for Experimenters (from memory)",
        note="Stated whole here; the book halves it.",
    ),
)


def page(review: Review) -> Document:
    """The page of the choices, with the comparison that no other page needs."""
    choosing, compared = review.of(CHOICES), compare(review)
    verdict = review.verdicts.get("choices", Verdict.HOLDS)
    blocks: list[Block] = [
        Answer(None if verdict is Verdict.HOLDS else verdict, _answer(choosing, compared))
    ]
    for id_, ways in compared.weighed.items():
        blocks += _one(choosing, id_, ways)
    if len(compared.choices) > 1:
        blocks += _together(choosing, compared)
    decided = taken_table(choosing)
    if decided is not None:
        blocks.append(decided)
    blocks += closing(review, "choices", METHOD, SOURCES)
    return Document(CHOICES.id, CHOICES.question, tuple(blocks), choosing.project.locale)


def _answer(choosing: Choices, compared: Compared) -> tuple[Sentence, ...]:
    """How many are open, which moves the most, and what all of them together can do."""
    if not compared.choices:
        return (Sentence("No choice is open. Try a change on a page, and keep it as an option."),)
    many = len(compared.choices)
    words = f"{spelled(many).capitalize()} {'choice is' if many == 1 else 'choices are'} open."
    said = [Sentence(words)]
    most = moves_most(choosing)
    if most is not None:
        lead_in = "" if len(compared.choices) == 1 else "The one that moves the most: "
        said.append(Sentence(lead_in + most[1].template, most[1].values))
    if len(compared.choices) > 1 and compared.combinations:
        said.append(_best(choosing, compared))
    return tuple(said)


def _best(choosing: Choices, compared: Compared) -> Sentence:
    best = compared.combinations[0]
    worse = sum(bool(each.beaten_by) for each in compared.combinations)
    profit = best.measures.get("profit")
    values: dict[str, Value] = {
        "ways": Count(len(compared.combinations), "combination", "combinations"),
        "worse": Count(worse, "is", "are"),
    }
    words = "Of {ways}, {worse} no better on anything and worse on something than another"
    if profit is None:
        return Sentence(words + ".", values)
    values["best"] = names(compared.choices, best.choose)
    values["profit"] = Whole(Money(abs(profit), choosing.project.currency))
    verb = "earn" if profit >= 0 else "lose"
    return Sentence(f"{words}; {{best}} together {verb} {{profit}}.", values)


def _one(choosing: Choices, id_: str, ways: tuple[Weighed, ...]) -> list[Block]:
    """One choice: from where one way overtakes another, the picture, the table."""
    choice = choosing.open[id_]
    blocks: list[Block] = [Heading(choice.question, f"choice-{id_}")]
    said = [_tried(each) if each.problems else _overtakes(ways[0], each) for each in ways[1:]]
    said += [sentence for each in ways[1:] for sentence in _demand(choosing, each)]
    blocks.append(Paragraph(tuple(said)))
    picture = over_orders(choosing, ways)
    if picture is not None:
        blocks.append(Plate(picture))
    blocks.append(side_by_side(choosing, choice, ways))
    return blocks


def _demand(choosing: Choices, each: Weighed) -> Iterator[Sentence]:
    """What the votes say a way does to the demand for a box: a factor, between two suppositions."""
    project = choosing.project
    for poll, boxes in each.demand.items():
        for box, factor in boxes.items():
            low, high = (Measure(float(end), "", 2) for end in (factor.low, factor.high))
            values: dict[str, Value] = {
                "way": Name(each.name),
                "box": Name(project.sells[box].name or box),
                "poll": project.polls[poll].question or poll,
                "low": low,
            }
            words = "By the votes on “{poll}”, “{way}” multiplies the demand for {box} by {low}"
            if factor.low != factor.high:
                values["high"] = high
                words += " to {high}: one end if nobody who is put off leaves, the other if all do"
            yield Sentence(f"{words}. Orders stay as you entered them.", values)


def _tried(each: Weighed) -> Sentence:
    return Sentence(
        "“{way}” cannot be tried: {problem}",
        {"way": Name(each.name), "problem": str(each.problems[0])},
    )


def _overtakes(first: Weighed, each: Weighed) -> Sentence:
    """Between which sizes of the line a way earns more than the first."""
    values: dict[str, Value] = {"way": Name(each.name), "first": Name(first.name)}
    lead = each.lead
    if lead is None or not lead.known:
        return Sentence(
            "From where on “{way}” earns more than “{first}” cannot be said: something it rests "
            "on is missing, or the two assume different orders.",
            values,
        )
    if not ahead(lead):
        return Sentence("“{way}” earns no more than “{first}” at any size of the line.", values)
    if ahead(lead) == (ALWAYS,):
        return Sentence("“{way}” earns more than “{first}” at every size of the line.", values)
    words, ends = _stretches(lead)
    return Sentence(
        f"“{{way}}” earns more than “{{first}}” {words}, with today's proportions between boxes.",
        values | ends,
    )


def _stretches(lead: Lead) -> tuple[str, dict[str, Value]]:
    words, values = [], dict[str, Value]()
    for i, (start, end) in enumerate(ahead(lead)):
        values |= {f"start{i}": Count(ceil(start), "box", "boxes")} if start else {}
        if end is None:
            words.append(f"from {{start{i}}} on")
            continue
        values[f"end{i}"] = Count(int(end), "box", "boxes")
        words.append(f"from {{start{i}}} to {{end{i}}}" if start else f"up to {{end{i}}}")
    return " and ".join(words), values


def _together(choosing: Choices, compared: Compared) -> list[Block]:
    blocks: list[Block] = [all_together(choosing, compared)]
    notes = [*_how_far(compared), *_left_out(compared)]
    if notes:
        blocks.append(Paragraph(tuple(notes)))
    blocks.append(Heading("Where two interact", "choices-interact"))
    blocks.append(Paragraph(_interacting(choosing, compared)))
    return blocks


def _how_far(compared: Compared) -> list[Sentence]:
    """What was not tried, where there are too many ways to try them all."""
    if compared.extent is Extent.ALL:
        return []
    values: dict[str, Value] = {
        "possible": Count(compared.possible, "combination", "combinations"),
        "tried": Count(len(compared.combinations)),
    }
    how = {
        Extent.PAIRS: "with at most two choices other than first",
        Extent.ALONE: "each alternative alone",
    }[compared.extent]
    return [
        Sentence(
            "There are {possible}, too many to try; these are {tried}, "
            f"{how}. Settle some, and the rest is tried in full.",
            values,
        )
    ]


def _left_out(compared: Compared) -> list[Sentence]:
    """Measures that no way knows: they are not among the counts."""
    ways = [each.measures for each in compared.combinations]
    kept = counted(compared.kinds, ways)
    out = [kind.label for kind in compared.kinds if kind.better and kind not in kept]
    if not out:
        return []
    named = [label[:1].lower() + label[1:] for label in out if not label.startswith("Margin of")]
    if len(named) < len(out):
        named.append("margins of boxes")
    return [
        Sentence(
            "Not known for any option, and not counted: {named}.", {"named": Names(tuple(named))}
        )
    ]


def _interacting(choosing: Choices, compared: Compared) -> tuple[Sentence, ...]:
    if compared.extent is Extent.ALONE:
        return (Sentence("Not tried: there are too many pairs."),)
    said = [
        *(_interaction(choosing, compared, each) for each in compared.interactions),
        *(_exclusion(compared, each) for each in compared.exclusions),
    ]
    if said:
        return tuple(said)
    return (Sentence("None of them changes what another is worth: their effects add up."),)


def _interaction(choosing: Choices, compared: Compared, each: Interaction) -> Sentence:
    values: dict[str, Value] = {"ways": names(compared.choices, each.choose)}
    currency = choosing.project.currency
    kind = next(kind for kind in compared.kinds if kind.id in each.difference)
    gain = each.difference[kind.id]
    values["amount"] = amount(abs(gain), currency)
    if kind.id == "profit":
        verb = "earn {amount} more" if gain > 0 else "earn {amount} less"
    else:
        values["what"] = kind.label[:1].lower() + kind.label[1:]
        verb = f"move {{what}} by {{amount}} {'more' if gain > 0 else 'less'}"
    cause = each.cause
    return Sentence(
        f"{{ways}} together {verb} than the two apart: {cause.template}",
        values | dict(cause.values),
    )


def _exclusion(compared: Compared, each: Exclusion) -> Sentence:
    values: dict[str, Value] = {"ways": names(compared.choices, each.choose)}
    return Sentence(
        f"{{ways}} cannot be combined: {each.cause.template}", values | dict(each.cause.values)
    )
