"""What money judges; docs/topics/money.md documents each."""

from sixwright.kernel.findings import Rule, Stakes
from sixwright.kernel.units import LINE_CURRENCY, share, things
from sixwright.topics.money import sources

TOPIC = "money"

MARGIN = Rule(
    TOPIC,
    "margin",
    "Margin after the fixed share, of the price",
    share("share of the price"),
    sources.DEFINITION,
    stakes=Stakes.MONEY,
)
PRICE_KNOWN = Rule(
    TOPIC,
    "price-known",
    "Missing",
    things("input missing", "inputs missing"),
    sources.DEFINITION,
    stakes=Stakes.MONEY,
)
MINIMUM = Rule(TOPIC, "minimum", "Tied up", LINE_CURRENCY, sources.QUOTE, stakes=Stakes.MONEY)
QUOTE_DATE = Rule(
    TOPIC,
    "quote-date",
    "Today",
    things("day past the last day", "days past the last day"),
    sources.QUOTE,
    stakes=Stakes.MONEY,
)
BREAK_EVEN = Rule(
    TOPIC,
    "break-even",
    "Costs are earned back at",
    things("box", "boxes"),
    sources.BREAK_EVEN,
    stakes=Stakes.MONEY,
)
RATE = Rule(TOPIC, "rate", "Profit", LINE_CURRENCY, sources.RATE, stakes=Stakes.MONEY)

ODD_PRICE = Rule(
    TOPIC,
    "odd-price",
    "Furthest from the other prices of its quote",
    things("time", "times"),
    sources.QUOTE,
)

RULES = (MARGIN, PRICE_KNOWN, MINIMUM, QUOTE_DATE, BREAK_EVEN, RATE, ODD_PRICE)
