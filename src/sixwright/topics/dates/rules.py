"""What dates judges; docs/topics/dates.md documents each."""

from sixwright.kernel.findings import Rule, Stakes
from sixwright.kernel.units import share, things
from sixwright.topics.dates import sources

TOPIC = "dates"

PROMISE = Rule(
    TOPIC, "promise", "Chance that it is kept", share("draws"), sources.WILSON, stakes=Stakes.MONEY
)
SLOT = Rule(
    TOPIC,
    "slot",
    "Chance to start by its last day",
    share("draws"),
    sources.WILSON,
    stakes=Stakes.MONEY,
)
LOAD = Rule(
    TOPIC,
    "load",
    "Asked in the fullest week",
    things("day", "days"),
    sources.DEFINITION,
    stakes=Stakes.MONEY,
)
NEVER = Rule(
    TOPIC,
    "never",
    "Chance never to be reached",
    share("draws"),
    sources.WILSON,
    stakes=Stakes.MONEY,
)
DURATION = Rule(
    TOPIC,
    "duration",
    "Missing",
    things("duration", "durations"),
    sources.DEFINITION,
    stakes=Stakes.RECORD,
)
QUOTE = Rule(
    TOPIC,
    "quote",
    "Chance to order while the quote is good",
    share("draws"),
    sources.WILSON,
    stakes=Stakes.MONEY,
)

RULES = (PROMISE, SLOT, LOAD, NEVER, DURATION, QUOTE)
