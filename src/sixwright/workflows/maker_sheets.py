"""What each maker is sent: their parts, how many, their own quote, and what is open with them.

Nothing else is in it: no price to buyers, margin, fee, profit, vote or note, no rate of exchange,
and nothing of another maker's quote.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from sixwright.kernel.currency import Money
from sixwright.kernel.ids import addresses
from sixwright.kernel.sentences import Count, Sentence
from sixwright.line.boxes import Part
from sixwright.line.making import PriceBreak, Way
from sixwright.project.model import Project
from sixwright.topics.care.cautions import stated
from sixwright.topics.care.hazards import BY_WORD
from sixwright.topics.care.topic import CARE
from sixwright.topics.care.workshop import BENCHES, Bench, at_the_bench
from sixwright.topics.money.model import PartMoney
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.reviewed import Review

NO_QUOTE, NO_MAKER = "no quote is chosen", "its quote names no maker"


@dataclass(frozen=True, slots=True)
class Made:
    """A part that a maker makes.

    Attributes
    ----------
    order
        Good pieces to order, spares and the maker's minimum included; None while unknown.
    price, from_quantity
        What the maker quoted for a piece at that order, and from how many on; None where nothing
        was quoted: a guess of the producer's is no quote.
    tooling
        What the maker quoted for the tool; of parts of one tool, the first bears it.
    tool, tool_of
        The tool that several parts share, and the part that bears its tooling; None for the part
        itself.
    hazards
        What is stated to hurt; None while nobody has said.
    open
        What is still to be settled with the maker.
    """

    part: Part
    way: Way
    order: int | None
    price: Money | None
    from_quantity: int | None
    tooling: Money | None
    tool: str | None
    tool_of: Part | None
    hazards: frozenset[str] | None
    open: tuple[Sentence, ...]


@dataclass(frozen=True, slots=True)
class MakerSheet:
    """All that one maker is sent.

    Attributes
    ----------
    address
        Its name in addresses and of files.
    bench
        What to mind at the work that their processes name, and the parts that it is done on.
    """

    maker: str
    address: str
    parts: tuple[Made, ...]
    bench: tuple[tuple[Bench, tuple[Part, ...]], ...] = ()

    @property
    def open(self) -> tuple[tuple[Sentence, tuple[Part, ...]], ...]:
        """What is open with this maker, each thing once, and the parts that it is open of."""
        found: dict[tuple[object, ...], tuple[Sentence, list[Part]]] = {}
        for made in self.parts:
            for told in made.open:
                key = (told.template, *told.values.items())
                found.setdefault(key, (told, []))[1].append(made.part)
        return tuple((told, tuple(parts)) for told, parts in found.values())


@dataclass(frozen=True, slots=True)
class Unsent:
    """A part that the orders need and that goes to nobody, and why."""

    part: Part
    why: str


def maker_addresses(project: Project) -> Mapping[str, str]:
    """Each maker that a quote names, and its name in addresses."""
    named = dict.fromkeys(way.maker.strip() for way in project.ways.values() if way.maker.strip())
    return addresses(named, otherwise="maker")


def maker_sheets(review: Review) -> tuple[MakerSheet, ...]:
    """A sheet for each maker that a quote names; some of them make nothing as it stands.

    Parameters
    ----------
    review
        The line with its money answered; without, there is no sheet.

    Source
    ------
    Quantities: docs/topics/money.md, “A part”. Hazards are what the parts state.
    """
    money = review.get(MONEY)
    if money is None:
        return ()
    lookups = _looked_up(review, money.parts)
    return tuple(
        _sheet(lookups, maker, address)
        for maker, address in maker_addresses(review.project).items()
    )


@dataclass(frozen=True, slots=True)
class _Lookups:
    """What every sheet draws from, each gone through once, so that long lines stay quick.

    `chosen` are the parts of each maker with their quotes, `prices` those of each quote by
    quantity, `pooled` the pieces ordered of each tool (0 while unknown).
    """

    review: Review
    money: Mapping[str, PartMoney]
    chosen: Mapping[str, tuple[tuple[Part, Way], ...]]
    prices: Mapping[str, tuple[PriceBreak, ...]]
    pooled: Mapping[str, int]
    bench: Mapping[str, frozenset[str]]


def _looked_up(review: Review, money: Mapping[str, PartMoney]) -> _Lookups:
    project = review.project
    chosen: dict[str, list[tuple[Part, Way]]] = {}
    prices: dict[str, list[PriceBreak]] = {}
    orders: dict[str, list[int | None]] = {}
    for part in project.parts.values():
        way, of = _way(project, part), money[part.id]
        if way is not None and of.need != 0:
            chosen.setdefault(_maker(way), []).append((part, way))
            orders.setdefault(way.tool or "", []).append(of.order)
    for row in sorted(project.prices, key=lambda row: row.from_quantity):
        prices.setdefault(row.way, []).append(row)
    return _Lookups(
        review,
        money,
        {maker: tuple(each) for maker, each in chosen.items()},
        {way: tuple(each) for way, each in prices.items()},
        {tool: _sum(each) for tool, each in orders.items()},
        {w: frozenset(ids) for w, ids in at_the_bench(project.parts, project.ways).items()},
    )


def _sum(orders: Sequence[int | None]) -> int:
    known = [order for order in orders if order is not None]
    return sum(known) if len(known) == len(orders) else 0


def unsent(review: Review) -> tuple[Unsent, ...]:
    """Parts that the orders need, or may need, and that no maker is named for."""
    money = review.get(MONEY)
    if money is None:
        return ()
    needed = [part for part in review.project.parts.values() if money.parts[part.id].need != 0]
    ways = {part.id: _way(review.project, part) for part in needed}
    found = [Unsent(part, NO_QUOTE if ways[part.id] is None else NO_MAKER) for part in needed]
    return tuple(each for each in found if _maker(ways[each.part.id]) == "")


def _way(project: Project, part: Part) -> Way | None:
    return project.ways.get(part.way or "")


def _maker(way: Way | None) -> str:
    return way.maker.strip() if way else ""


def _sheet(lookups: _Lookups, maker: str, address: str) -> MakerSheet:
    chosen = lookups.chosen.get(maker, ())
    at_work = [
        (each, tuple(part for part, _ in chosen if part.id in lookups.bench.get(each.work, ())))
        for each in BENCHES
    ]
    tools: dict[str, list[tuple[Part, Way]]] = {}
    for part, way in chosen:
        tools.setdefault(way.tool or f"part {part.id}", []).append((part, way))
    return MakerSheet(
        maker,
        address,
        tuple(
            _made(lookups, part, way, tools[way.tool or f"part {part.id}"]) for part, way in chosen
        ),
        tuple((each, parts) for each, parts in at_work if parts),
    )


def _made(lookups: _Lookups, part: Part, way: Way, with_it: Sequence[tuple[Part, Way]]) -> Made:
    """A part, and the parts of this maker that its tool makes, itself among them."""
    order = lookups.money[part.id].order
    pieces = lookups.pooled.get(way.tool, 0) if way.tool else order or 0
    step = _step(lookups.prices.get(way.id, ()), pieces)
    first = with_it[0][0]
    toolings = [_quoted(each.tooling) for _, each in with_it]
    known = [each for each in toolings if each is not None]
    tooling = max(known, key=lambda each: each.amount) if len(known) == len(toolings) else None
    price = _quoted(step.unit_price) if step else None
    made = Made(
        part=part,
        way=way,
        order=order,
        price=price,
        from_quantity=step.from_quantity if step and price else None,
        tooling=tooling if part is first else None,
        tool=way.tool if len(with_it) > 1 else None,
        tool_of=None if part is first else first,
        hazards=stated(part),
        open=(),
    )
    open_ = (*_open_quote(made, lookups.review.today), *_open_care(lookups.review, made))
    return replace(made, open=open_)


def _quoted(money: Money | None) -> Money | None:
    """An amount that the maker stated: what the producer guessed is none, and is not told."""
    return None if money is None or money.guess else money


def _step(breaks: Sequence[PriceBreak], pieces: int) -> PriceBreak | None:
    """The break of a quote at or below an order; below the first break, the first."""
    reached = [row for row in breaks if row.from_quantity <= pieces]
    return reached[-1] if reached else next(iter(breaks), None)


def _open_quote(made: Made, today: date) -> Iterator[Sentence]:
    """What of the order and its quote is not settled."""
    way = made.way
    if made.order is None:
        yield Sentence("How many to order is not known yet.")
    if way.minimum is None:
        yield Sentence("The smallest order is not stated.")
    if made.price is None:
        yield Sentence("A price is not quoted.")
    elif made.order is not None and (made.from_quantity or 0) > made.order and not made.tool:
        counts = {"from": Count(made.from_quantity or 0, "piece", "pieces"),
                  "order": Count(made.order)}  # fmt: skip
        yield Sentence("The quote begins at {from}; {order} are to be ordered.", counts)
    if made.tooling is None and made.tool_of is None:
        yield Sentence("The tooling is not quoted.")
    if way.valid_until is None:
        yield Sentence("The quote has no last day.")
    elif way.valid_until < today:
        yield Sentence("The quote ran out on {day}.", {"day": way.valid_until})
    if not way.process.strip():
        yield Sentence("How it is made is not stated.")


def _open_care(review: Review, made: Made) -> Iterator[Sentence]:
    """What of it could hurt is not stated, and what its words suggest."""
    if made.hazards is None:
        yield Sentence("What of it can hurt is not stated.")
    care = review.get(CARE)
    asked = care.parts[made.part.id].asked if care else ()
    yield from (Sentence(BY_WORD[each.hazard].question) for each in asked)
