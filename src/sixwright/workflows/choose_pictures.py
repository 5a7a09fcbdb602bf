"""What each option earns more or less than the first, over the size of the line."""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, floor

from sixwright.kernel.pictures import Axis, Chart, ChartMark, Point, Polyline, Tone
from sixwright.kernel.sentences import Count
from sixwright.kernel.ticks import round_ticks
from sixwright.topics.money.model import Lead
from sixwright.workflows.choices_model import Choices
from sixwright.workflows.choose_model import Weighed

# Pieces are whole and boxes here are not, so a way can be ahead for less than one box.
LEAST = Fraction(1)


def ahead(lead: Lead) -> tuple[tuple[Fraction, Fraction | None], ...]:
    """The stretches of a lead that are at least one box long: those worth a sentence.

    Parameters
    ----------
    lead
        Where one way earns more than another, in boxes.

    Source
    ------
    docs/topics/money.md, “Break-even”: steps of less than one box are left out of sentences.
    """
    long_enough = [(start, end) for start, end in lead.ahead if end is None or end - start >= LEAST]
    joined: list[tuple[Fraction, Fraction | None]] = []
    for start, end in long_enough:
        last = joined[-1][1] if joined else None
        if last is not None and start - last < LEAST:
            joined[-1] = (joined[-1][0], end)
        else:
            joined.append((start, end))
    return tuple(joined)


def over_orders(choosing: Choices, weighed: Sequence[Weighed]) -> Chart | None:
    """A line a way, against the first, with each overtaking marked; None while none is known.

    Parameters
    ----------
    choosing
        The choices of a line.
    weighed
        The alternatives of one of them, the first one first.

    Source
    ------
    docs/topics/choices.md, “From where one overtakes another”.
    """
    known = [(each, each.lead) for each in weighed if each.lead and each.lead.known]
    if not known:
        return None
    curves = [(each, tuple((float(x), float(y)) for x, y in lead.curve)) for each, lead in known]
    end = max(points[-1][0] for _, points in curves)
    heights = [y for _, points in curves for _, y in points]
    low, high = min(0.0, *heights), max(0.0, *heights)
    first = weighed[0].name
    marks: list[ChartMark] = [
        Polyline(((0.0, 0.0), (end, 0.0)), Tone.SOFT, first, dashed=True, width=1.0)
    ]
    marks += [Polyline(points, Tone.INK, each.name) for each, points in curves]
    marks += [point for _, lead in known for point in _crossings(lead)]
    marks += _assumed(choosing, weighed)
    currency = choosing.project.currency
    return Chart(
        title=f"What each option earns more or less than “{first}”",
        summary=" ".join(f"{each.name}: {_words(lead)}." for each, lead in known),
        x=Axis("boxes, with today's proportions between them", 0, end, round_ticks(0, end)),
        y=Axis(f"more profit, {currency}", low, high, round_ticks(low, high)),
        marks=tuple(marks),
        caption="Each quote is read again at each number of boxes.",
    )


def _crossings(lead: Lead) -> list[Point]:
    starts = [(start, ceil(start)) for start, _ in ahead(lead) if start]
    ends = [(end, floor(end)) for _, end in ahead(lead) if end is not None]
    return [
        Point(float(k), 0.0, Tone.INK, Count(boxes, "box", "boxes"))
        for k, boxes in sorted(starts + ends)
    ]


def _assumed(choosing: Choices, weighed: Sequence[Weighed]) -> list[Point]:
    """Where the line stands: the orders assumed."""
    orders = [order.quantity for order in choosing.project.orders.values()]
    boxes = float(sum(count for count in orders if count))
    gains = [each.difference.get("profit") for each in weighed[1:] if each.difference]
    return [
        Point(boxes, float(gain), Tone.INK, "orders assumed" if i == 0 else "")
        for i, gain in enumerate(gains)
        if gain is not None
    ]


def _words(lead: Lead) -> str:
    stretches = ahead(lead)
    if not stretches:
        return "earns no more at any size shown"
    return "earns more " + " and ".join(_stretch(start, end) for start, end in stretches)


def _stretch(start: Fraction, end: Fraction | None) -> str:
    if end is None:
        return f"from {ceil(start)} boxes on" if start else "at every size"
    return f"from {ceil(start)} to {floor(end)} boxes" if start else f"up to {floor(end)} boxes"
