"""Where each unit of money of a box goes, and the profit over the number of boxes."""

from fractions import Fraction

from sixwright.kernel.currency import Money, decimal_text, minor_units
from sixwright.kernel.pictures import Axis, Band, Bar, Chart, ChartMark, Point, Polyline, Tone
from sixwright.kernel.sentences import Count
from sixwright.kernel.ticks import FEW, MOST_TICKS, Ticks, round_ticks
from sixwright.topics.money.bill import bill
from sixwright.topics.money.break_even import whole_losses
from sixwright.topics.money.guesses import guessed_lines
from sixwright.topics.money.model import Answer, BoxMoney, Inputs

# What a price is spent on, in the order in which it is spent.
SPENT = ("parts", "labour", "overhead", "duty", "freight", "fees", "reserve", "margin")
TONES = (Tone.SOFT, Tone.FAINT)
# A band that is nowhere wider than this share of the picture would hide behind its line.
THINNEST = 0.02


def pictures(inputs: Inputs, answer: Answer) -> tuple[Chart, ...]:
    """The pictures of money, in the order in which a page shows them.

    Parameters
    ----------
    inputs, answer
        The line and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    docs/topics/money.md.
    """
    return tuple(
        chart for chart in (where_it_goes(inputs, answer), earned_back(inputs, answer)) if chart
    )


def where_it_goes(inputs: Inputs, answer: Answer) -> Chart | None:
    """A bar a box, in per cent of its price; None while no box is known.

    Parameters
    ----------
    inputs, answer
        The line and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    docs/topics/money.md, “A box”.
    """
    known = {s: box for s, box in answer.sells.items() if box.margin is not None and box.price}
    rows, marks, words, far = [], [], [], 100.0
    for row, (sells, box) in enumerate(known.items()):
        name = inputs.sells[sells].name or sells
        rows.append(name)
        bars = _bars(inputs, box, row, guessed_lines(box.guesses, answer.guesses))
        marks += bars
        far = max(far, *(bar.end for bar in bars))
        words.append(f"{name}: " + ", ".join(bar.title for bar in bars))
    if not rows:
        return None
    return Chart(
        title="Where the price of each box goes",
        summary="; ".join(words) + ".",
        x=Axis("per cent of the price", 0, far, _percents(far)),
        rows=tuple(rows),
        marks=tuple(marks),
        caption="The margin comes before the box's share of tooling and development.",
    )


def _percents(far: float) -> Ticks:
    most = MOST_TICKS if far <= 220 else FEW
    return tuple((x, f"{x:.0f} %") for x, _ in round_ticks(0, far, most=most, least=20))


def _bars(inputs: Inputs, box: BoxMoney, row: int, guessed: frozenset[str]) -> list[Bar]:
    """One bar a line of the bill; ~ marks what rests on a guess."""
    bars, start, price = [], Fraction(0), box.price or Fraction(1)
    stated = bill(box, places=minor_units(inputs.currency))
    for i, name in enumerate(SPENT):
        amount: Fraction = getattr(box, name) or Fraction(0)
        share = 100 * amount / price
        mark = "~" if name in guessed else ""
        title = f"{name} {mark}{_stated(Money(stated[name] or Fraction(0), inputs.currency))}"
        begin, end = sorted((start, start + share))
        tone = TONES[i % len(TONES)]
        if name == "margin":
            tone = Tone.INK if amount >= 0 else Tone.TROUBLE
        label = name
        bars.append(Bar(row, float(begin), float(end), tone, label, title))
        start += share
    return bars


def _stated(money: Money) -> str:
    """An amount to its minor unit, with all of its places."""
    places = minor_units(money.currency)
    whole, _, rest = decimal_text(money.rounded().amount, places).partition(".")
    digits = f".{rest:0<{places}}" if places else ""
    return f"{whole}{digits} {money.currency}"


def earned_back(inputs: Inputs, answer: Answer) -> Chart | None:
    """Profit over boxes, with each crossing; None while break-even is unknown.

    Parameters
    ----------
    inputs, answer
        The line and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    docs/topics/money.md, “Break-even”.
    """
    even = answer.break_even
    points = tuple((float(boxes), float(profit)) for boxes, profit in even.curve)
    if not points:
        return None
    end = points[-1][0]
    band = tuple((float(boxes), float(least), float(most)) for boxes, least, most in even.band)
    low = min(y for _, y, *_ in (*points, *band))
    high = max(y for *_, y in (*points, *band))
    if all(most - least < THINNEST * (high - low) for _, least, most in band):
        band = ()
    marks: list[ChartMark] = [
        *((Band(band),) if band else ()),
        Polyline(((0.0, 0.0), (end, 0.0)), Tone.SOFT, dashed=True, width=1.0),
        Polyline(points, Tone.INK, "profit"),
    ]
    words = "At no size shown does the line earn its costs back."
    if even.quantity is not None:
        quantity = -int(-even.quantity // 1)
        marks.append(Point(float(even.quantity), 0.0, Tone.INK, Count(quantity, "box", "boxes")))
        words = f"The line earns its costs back at {quantity} boxes."
    for start, stop in whole_losses(even):
        until = end if stop is None else min(end, float(stop))
        if start < end:
            marks.append(Polyline(((float(start), 0.0), (until, 0.0)), Tone.TROUBLE, "loss again"))
            words += f" It loses again from {start} boxes."
    ordered = sum(count for count in inputs.orders.values() if count)
    if answer.profit is not None:
        marks.append(Point(float(ordered), float(answer.profit), Tone.INK, "orders assumed"))
    return Chart(
        title="How many boxes earn the costs back",
        summary=words,
        x=Axis("boxes, with today's proportions between them", 0, end, round_ticks(0, end)),
        y=Axis(f"profit, {inputs.currency}", low, max(high, 0), round_ticks(low, max(high, 0))),
        marks=tuple(marks),
        caption="Each quote is read again at each number of boxes."
        + (" The band is what old quotes, guesses and rates may make of it." if band else ""),
    )
