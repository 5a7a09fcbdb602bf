"""“What must it sell for?”: where the money of each box goes, and what the line earns."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil, isinf

from sixwright.kernel.currency import Money
from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Real, Verdict
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Share, Value, Whole
from sixwright.project.names import cell_name
from sixwright.reports.document import Answer, Block, Document, Fold, Heading, Paragraph, Plate
from sixwright.reports.pages.chances import chance_list
from sixwright.reports.pages.money_boxes import box_table
from sixwright.reports.pages.money_fixed import fixed_table, tool_table
from sixwright.reports.pages.money_parts import part_table, rival_tables
from sixwright.reports.pages.topic import closing, of_topic, tally
from sixwright.reports.wording.evidence import open_findings
from sixwright.topics.money import pictures
from sixwright.topics.money.break_even import whole_losses
from sixwright.topics.money.compute import even_with_curve, rival_ways
from sixwright.topics.money.model import Answer as Sums
from sixwright.topics.money.model import BreakEven, Inputs
from sixwright.topics.money.said import (
    between,
    lacking,
    moved_by,
    of_its_side,
    profit_at_most,
    stated,
)
from sixwright.topics.money.sources import SOURCES
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.fill_first import fill_first
from sixwright.workflows.reviewed import Review

# So many of the missing cells are named in the answer.
MOST_LACKS = 3
METHOD = (
    Sentence("Pieces are bought whole: what the orders take and the spares, or the minimum."),
    Sentence("Spares and surplus are charged to the boxes that use the part, by pieces used."),
    Sentence("Landed is parts, labour and overhead, then duty, freight, fees and the reserve."),
    Sentence("Tooling and development are shared equally by figures: the fixed share."),
    Sentence("Break-even multiplies all orders alike and reads every quote again at each size."),
    Sentence("Sums are exact; they are rounded only here, so that the stated parts add up."),
    Sentence("A quote past its last day, a guess and a rate that may move make an interval."),
    Sentence(
        "Each is counted for itself: if all quotes of a maker rise together, the loss may be "
        "greater than the interval says."
    ),
    Sentence(
        "What is not known makes unknown what rests on it; what is known is told as at least."
    ),
    Sentence("These figures advise; tariffs, taxes and contracts are for those who are licensed."),
)


def page(review: Review) -> Document:
    """The page of money, with the rival ways and the curve that no other page needs."""
    project, inputs, sums = review.project, review.inputs_of(MONEY), review.of(MONEY)
    findings = of_topic(review, MONEY.id)
    drawn = replace(sums, break_even=even_with_curve(inputs, sums.break_even))
    shown = [
        Plate(picture, tabled=bool(picture.rows)) for picture in pictures.pictures(inputs, drawn)
    ]
    blocks: list[Block] = [
        Answer(review.verdicts["money"], (tally(findings), *answer(review, inputs, sums))),
        *shown[:1],
        box_table(project, sums, findings),
        *chance_list(project, tuple(c for c in review.chances if c.topic == MONEY.id), at=MONEY.id),
        Heading("What the line must sell", "money-even"),
        Paragraph(break_even(inputs, sums)),
        *shown[1:],
        fixed_table(project, sums),
        Fold(Sentence("Tool by tool"), (tool_table(project, sums),), "money-tools"),
        *rival_tables(project, rival_ways(inputs)),
        part_table(project, sums, findings),
        *closing(review, "money", METHOD, SOURCES),
    ]
    return Document(MONEY.id, MONEY.question, tuple(blocks), project.locale)


def answer(review: Review, inputs: Inputs, sums: Sums) -> tuple[Sentence, ...]:
    """What is worst, what each box must sell for, the thinnest box, and what the line earns."""
    findings = of_topic(review, MONEY.id)
    open_ = open_findings(findings)
    told = {finding.subject.id for finding in open_[:1] if finding.rule == "margin"}
    said = (
        *_worst(review, open_),
        *_least(inputs, sums, findings, told),
        *_thinnest(inputs, sums),
    )
    # Why an amount may move is told once.
    is_told = any({"quotes", "guesses"} & set(sentence.values or {}) for sentence in said)
    return (*said, _profit(inputs, sums, why=not is_told))


def _worst(review: Review, open_: Sequence[Finding]) -> tuple[Sentence, ...]:
    """The worst finding; where much cannot be judged yet, the cells that the most rests on."""
    first = open_[:1]
    lacks = fill_first(open_)
    if not first or first[0].verdict is not Verdict.UNCHECKED or len(lacks) <= MOST_LACKS:
        return tuple(finding.message for finding in first)
    records = review.project.records
    cells = tuple(
        cell_name(records, lack.table, lack.id, lack.column) for lack in lacks[:MOST_LACKS]
    )
    more = Count(len(lacks) - len(cells), "more value is", "more values are")
    return (Sentence("Fill in first: {cells}; {more} missing.",
                     {"cells": Names(cells), "more": more}),)  # fmt: skip


def _least(
    inputs: Inputs, sums: Sums, findings: tuple[Finding, ...], told: Collection[str]
) -> tuple[Sentence, ...]:
    """The boxes whose price is below the least they must sell for; or that there are none."""
    below = [
        (inputs.sells[sells], least, price)
        for sells, box in sums.sells.items()
        if (price := box.price) is not None and (least := box.least_price) is not None
        if price < least and sells not in told
    ]
    if not below:
        return () if told else _enough(inputs, findings)
    said = [
        Sentence(
            "{box} must sell for {least} to keep the margin you want; its price is {price}.",
            {
                "box": Name(sold.name or sold.id),
                "least": Money(least, inputs.currency),
                "price": Money(price, inputs.currency),
            },
        )
        for sold, least, price in below[:2]
    ]
    if len(below) > len(said):
        more = Count(
            len(below) - len(said),
            "more box sells below what it must",
            "more boxes sell below what they must",
        )
        said.append(Sentence("{more}.", {"more": more}))
    return tuple(said)


def _enough(inputs: Inputs, findings: tuple[Finding, ...]) -> tuple[Sentence, ...]:
    """That prices are high enough, where every margin is shown to be; never beside a failure."""
    margins = [finding for finding in findings if finding.rule == "margin"]
    held = sum(finding.verdict is Verdict.HOLDS for finding in margins)
    if not held or any(finding.verdict is Verdict.FAILS for finding in findings):
        return ()
    if held == len(inputs.sells):
        return (Sentence(f"{'Every' if held > 1 else 'The'} box sells for what it must, or more."),)
    values: dict[str, Value] = {
        "held": Count(held),
        "count": Count(len(inputs.sells), "box sells", "boxes sell"),
    }
    return (Sentence("{held} of {count} for what they must, or more.", values),)


def _thinnest(inputs: Inputs, sums: Sums) -> tuple[Sentence, ...]:
    """The box that keeps the least of its price, of those of which that is known.

    After the fixed share where any box's is known, and else before it: the two are never compared.
    """
    before = {
        sells: share
        for sells, box in sums.sells.items()
        if (share := box.margin_share) is not None and box.price
    }
    after_share = {
        sells: after / (sums.sells[sells].price or 1)
        for sells in before
        if (after := sums.sells[sells].margin_after_fixed_share) is not None
    }
    known = after_share or before
    if not known:
        if any(box.margin_most is not None for box in sums.sells.values()):
            words = "No margin is known in full yet; the table says what each box leaves at most."
            return (Sentence(words),)
        return (Sentence("What a box keeps cannot be said yet."),)
    sells = min(known, key=lambda each: known[each])
    sold, lines = inputs.sells[sells], stated(inputs, sums.sells[sells])
    after = lines["margin_after_fixed_share"]
    values: dict[str, Value] = {
        "box": Name(sold.name or sold.id),
        "margin": Money(lines["margin"] or Fraction(0), inputs.currency),
        "price": Money(lines["price"] or Fraction(0), inputs.currency),
    }
    lead = "{box} keeps the least of its price:" if len(known) > 1 else "{box} keeps"
    if 1 < len(known) < len(sums.sells):
        values["known"] = Count(len(known))
        lead = "Of the {known} boxes that are known in full, " + lead
    if after is None:
        values["share"] = Share(before[sells])
        words = " {margin} of {price}, {share}, before its share of the fixed costs."
    else:
        values["after"] = Money(after, inputs.currency)
        words = " {after} of {price} after its share of the fixed costs, and {margin} before it."
    return (Sentence(lead + words, values),)


def _profit(inputs: Inputs, sums: Sums, *, why: bool) -> Sentence:
    if sums.profit is None:
        return _profit_at_most(inputs, sums, why=why)
    word = "earns" if sums.profit >= 0 else "loses"
    values: dict[str, Value] = {"profit": Whole(Money(abs(sums.profit), inputs.currency))}
    causes = moved_by(inputs, sums.expired, sums.guesses)
    span = between(inputs, of_its_side(sums.profit_interval), causes, whole=True)
    words = f"At the orders assumed the line {word} {{profit}}{span.text}"
    values |= span.values or {}
    if sums.cash_asked is None:
        return Sentence(words + ".", values)
    values["cash"] = Whole(Money(sums.cash_asked, inputs.currency))
    return Sentence(words + ", and asks for {cash} in cash before a box is sold.", values)


def _profit_at_most(inputs: Inputs, sums: Sums, *, why: bool) -> Sentence:
    most = profit_at_most(inputs, sums, why=why)
    if not most.text:
        return Sentence("What the line earns cannot be said yet.")
    return Sentence(f"{most.text[0].upper()}{most.text[1:]}.", most.values or {})


def break_even(inputs: Inputs, sums: Sums) -> tuple[Sentence, ...]:
    """From how many boxes on the line makes no loss, and where a loss returns."""
    even = sums.break_even
    if not even.known:
        lacks = lacking(inputs, sums.missing)
        words = (
            f"Break-even cannot be said yet; {lacks.text}."
            if lacks.text
            else ("Break-even cannot be said yet: costs or orders are missing.")
        )
        return (Sentence(words, lacks.values or {}),)
    if even.quantity is None:
        words = "With today's proportions between boxes no number of them covers the costs."
        return (Sentence(words),)
    values: dict[str, Value] = {"quantity": boxes_of(even.quantity)}
    words = "The line covers its costs from {quantity} on, with today's proportions between boxes"
    interval = sums.break_even_interval
    if interval is not None and interval.low != interval.high:
        why = moved_by(inputs, sums.expired, sums.guesses)
        values |= {"low": boxes_of(interval.low), **(why.values or {})}
        if isinf(interval.high):
            words += f" (from {{low}} on or never, because {why.text})"
        else:
            values["high"] = boxes_of(interval.high)
            words += f" (from {{low}} to {{high}}, because {why.text})"
    return (Sentence(words + ".", values), *_returning(even))


def boxes_of(quantity: Real) -> Count:
    """Boxes in whole: a part of a box is sold by nobody, so up."""
    return Count(ceil(quantity), "box", "boxes")


def _returning(even: BreakEven) -> tuple[Sentence, ...]:
    said = []
    for start, end in whole_losses(even):
        values: dict[str, Value] = {"start": Count(start, "box", "boxes")}
        if end is None:
            said.append(Sentence("From {start} on, a loss returns for good.", values))
        elif end == start:
            said.append(Sentence("At {start} a loss returns.", values))
        else:
            values["end"] = Count(end, "box", "boxes")
            words = "A loss returns from {start} to {end}, where a dearer step of quotes begins."
            said.append(Sentence(words, values))
    return tuple(said)
