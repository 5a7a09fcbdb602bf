"""“What must it sell for?”: where the money of each box goes, and what the line earns."""

from dataclasses import replace
from fractions import Fraction
from math import ceil

from sixwright.kernel.currency import Money
from sixwright.kernel.intervals import Interval, Real
from sixwright.kernel.sentences import Count, Name, Sentence, Share, Value, Whole
from sixwright.project.model import Project
from sixwright.reports.document import Answer, Block, Document, Fold, Heading, Paragraph, Plate
from sixwright.reports.pages.money_boxes import box_table
from sixwright.reports.pages.money_parts import fixed_table, part_table, rival_tables, tool_table
from sixwright.reports.pages.topic import closing, of_topic, tally
from sixwright.topics.money import pictures
from sixwright.topics.money.compute import even_with_curve, rival_ways
from sixwright.topics.money.model import Answer as Sums
from sixwright.topics.money.model import BreakEven
from sixwright.topics.money.sources import SOURCES
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.reviewed import Review

METHOD = (
    Sentence("Pieces are bought whole: what the orders take and the spares, or the minimum."),
    Sentence("Spares and surplus are charged to the boxes that use the part, by pieces used."),
    Sentence("Landed is parts, labour and overhead, then duty, freight, fees and the reserve."),
    Sentence("Tooling and development are shared equally by figures: the fixed share."),
    Sentence("Break-even multiplies all orders alike and reads every quote again at each size."),
    Sentence("Sums are exact; they are rounded only here, so that the stated parts add up."),
    Sentence("What is not known makes unknown what rests on it; it is never taken as nothing."),
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
        Answer(review.verdicts["money"], (tally(findings), *answer(project, sums))),
        *shown[:1],
        box_table(project, sums, findings),
        Heading("What the line must sell", "money-even"),
        Paragraph(break_even(sums)),
        *shown[1:],
        fixed_table(project, sums),
        Fold(Sentence("Tool by tool"), (tool_table(project, sums),), "money-tools"),
        *rival_tables(project, rival_ways(inputs)),
        part_table(project, sums, findings),
        *closing(review, "money", METHOD, SOURCES),
    ]
    return Document(MONEY.id, MONEY.question, tuple(blocks), project.locale)


def answer(project: Project, sums: Sums) -> tuple[Sentence, ...]:
    """What each box must sell for, which one is the thinnest, and what the line earns."""
    return (*_least(project, sums), *_thinnest(project, sums), _profit(project, sums))


def _least(project: Project, sums: Sums) -> tuple[Sentence, ...]:
    """The boxes whose price is below the least they must sell for; or that there are none."""
    known = [
        (project.sells[sells], box.price, box.least_price)
        for sells, box in sums.sells.items()
        if box.price is not None and box.least_price is not None
    ]
    if not known:
        return ()
    below = [(sold, least) for sold, price, least in known if price < least]
    if not below:
        return (_enough(len(known), len(sums.sells)),)
    said = [
        Sentence(
            "{box} must sell for {least} to keep the margin you want; its price is {price}.",
            {
                "box": Name(sold.name or sold.id),
                "least": Money(least, project.currency),
                "price": sold.price or "unknown",
            },
        )
        for sold, least in below[:2]
    ]
    if len(below) > len(said):
        more = Count(len(below) - len(said), "more box is", "more boxes are")
        said.append(Sentence("{more} below what it must.", {"more": more}))
    return tuple(said)


def _enough(known: int, boxes: int) -> Sentence:
    if known == boxes:
        return Sentence(f"{'Every' if known > 1 else 'The'} box sells for what it must, or more.")
    values: dict[str, Value] = {"known": Count(known), "count": Count(boxes, "box", "boxes")}
    words = "{known} of {count} sell for what they must, or more; of the rest it is not known."
    return Sentence(words, values)


def _thinnest(project: Project, sums: Sums) -> tuple[Sentence, ...]:
    """The box that keeps the least of its price: after the fixed share, where that is known."""
    known = [
        (after / price if after is not None else share, sells, share, after)
        for sells, box in sums.sells.items()
        if (share := box.margin_share) is not None and (price := box.price)
        for after in (box.margin_after_fixed_share,)
    ]
    if not known:
        return (Sentence("What a box keeps cannot be said yet: prices or costs are missing."),)
    _, sells, share, after = min(known, key=lambda each: each[0])
    sold, box = project.sells[sells], sums.sells[sells]
    values: dict[str, Value] = {
        "box": Name(sold.name or sold.id),
        "margin": Money(box.margin or Fraction(0), project.currency),
        "price": Money(box.price or Fraction(0), project.currency),
        "share": Share(share),
    }
    words = "The thinnest is {box}: of {price} it keeps {margin}, {share}"
    if after is None:
        return (Sentence(words + ".", values),)
    values["after"] = Money(after, project.currency)
    return (Sentence(words + ", and {after} after its share of the fixed costs.", values),)


def _profit(project: Project, sums: Sums) -> Sentence:
    if sums.profit is None:
        return Sentence("What the line earns cannot be said yet.")
    word = "earns" if sums.profit >= 0 else "loses"
    values: dict[str, Value] = {"profit": Whole(Money(abs(sums.profit), project.currency))}
    words = f"At the orders assumed the line {word} {{profit}}"
    words += _between(project, sums.profit_interval, values)
    if sums.cash_asked is None:
        return Sentence(words + ".", values)
    values["cash"] = Whole(Money(sums.cash_asked, project.currency))
    return Sentence(words + ", and asks for {cash} in cash before a box is sold.", values)


def _between(project: Project, interval: Interval | None, values: dict[str, Value]) -> str:
    """The interval that the exchange rates make, in words; empty where there is none."""
    if interval is None or interval.low == interval.high:
        return ""
    values |= {
        "low": Whole(Money(Fraction(interval.low), project.currency)),
        "high": Whole(Money(Fraction(interval.high), project.currency)),
    }
    return " (from {low} to {high} as the rates may move)"


def break_even(sums: Sums) -> tuple[Sentence, ...]:
    """From how many boxes on the line makes no loss, and where a loss returns."""
    even = sums.break_even
    if not even.known:
        return (Sentence("Break-even cannot be said yet: costs or orders are missing."),)
    if even.quantity is None:
        return (Sentence("At the present mix and prices no number of boxes covers the costs."),)
    values: dict[str, Value] = {"quantity": boxes_of(even.quantity)}
    words = "The line covers its costs from {quantity} on, all boxes in the present mix"
    interval = sums.break_even_interval
    if interval is not None and interval.low != interval.high:
        words += " (from {low} to {high} as the rates may move)"
        values |= {"low": boxes_of(interval.low), "high": boxes_of(interval.high)}
    return (Sentence(words + ".", values), *_returning(even))


def boxes_of(quantity: Real) -> Count:
    """Boxes in whole: a part of a box is sold by nobody, so up."""
    return Count(ceil(quantity), "box", "boxes")


def _returning(even: BreakEven) -> tuple[Sentence, ...]:
    said = []
    for start, end in even.losses_after:
        values: dict[str, Value] = {"start": boxes_of(start)}
        if end is None:
            said.append(Sentence("From {start} on, a loss returns for good.", values))
        else:
            values["end"] = boxes_of(end)
            words = "A loss returns from {start} to {end}, where a dearer step of quotes begins."
            said.append(Sentence(words, values))
    return tuple(said)
