"""What dates judges; docs/topics/dates.md documents each."""

from sixwright.kernel.findings import Rule
from sixwright.kernel.units import share, things
from sixwright.topics.dates import sources

TOPIC = "dates"

PROMISE = Rule(TOPIC, "promise", "Chance that it is kept", share("draws"), sources.WILSON)
SLOT = Rule(TOPIC, "slot", "Chance to start by its last day", share("draws"), sources.WILSON)
LOAD = Rule(TOPIC, "load", "Asked in the fullest week", things("day", "days"), sources.DEFINITION)
NEVER = Rule(TOPIC, "never", "Chance never to be reached", share("draws"), sources.WILSON)
DURATION = Rule(TOPIC, "duration", "Missing", things("duration", "durations"), sources.DEFINITION)
QUOTE = Rule(
    TOPIC, "quote", "Chance to order while the quote is good", share("draws"), sources.WILSON
)

RULES = (PROMISE, SLOT, LOAD, NEVER, DURATION, QUOTE)
