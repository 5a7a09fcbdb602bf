"""What voices judges; docs/topics/voices.md documents each."""

from sixwright.kernel.findings import Rule
from sixwright.kernel.units import share, things
from sixwright.topics.voices import sources

TOPIC = "voices"

DIVIDED = Rule(
    TOPIC, "divided", "Boxes whose buyers all get it", things("box", "boxes"), sources.AGREEMENT
)
LEFT_OUT = Rule(TOPIC, "left-out", "Boxes that hold it", things("box", "boxes"), sources.REACH)
UNANSWERED = Rule(TOPIC, "unanswered", "Voters who wait", things("voter", "voters"), sources.WORDS)
THIN = Rule(TOPIC, "thin", "Apart", share(), sources.NEWCOMBE)

RULES = (DIVIDED, LEFT_OUT, UNANSWERED, THIN)
