"""What care judges; docs/topics/care.md documents each."""

from sixwright.kernel.findings import Rule, Stakes
from sixwright.kernel.units import symbol, things
from sixwright.topics.care import sources

TOPIC = "care"

_TESTS = things("test", "tests")
STATED = Rule(
    TOPIC,
    "stated",
    "Still to be said",
    things("hazard", "hazards"),
    sources.ASKED,
    stakes=Stakes.RECORD,
)
MAGNET = Rule(TOPIC, "magnet", "Flux index", symbol("kG²·mm²"), sources.MAGNETS, stakes=Stakes.HARM)
CELL = Rule(TOPIC, "cell", "Recorded", _TESTS, sources.CELLS, stakes=Stakes.HARM)
SHARP = Rule(TOPIC, "sharp", "Recorded", _TESTS, sources.EDGES, stakes=Stakes.HARM)
POINT = Rule(TOPIC, "point", "Recorded", _TESTS, sources.POINTS, stakes=Stakes.HARM)
CORD = Rule(TOPIC, "cord", "Recorded", _TESTS, sources.PRACTICE, stakes=Stakes.HARM)
GLASS = Rule(TOPIC, "glass", "Recorded", _TESTS, sources.EDGES, stakes=Stakes.HARM)
HOT = Rule(TOPIC, "hot", "Recorded", _TESTS, sources.PRACTICE, stakes=Stakes.HARM)
MAINS = Rule(TOPIC, "mains", "Recorded", _TESTS, sources.PRACTICE, stakes=Stakes.HARM)

TESTED = (CELL, SHARP, POINT, CORD, GLASS, HOT, MAINS)  # each by the hazard's own word
RULES = (STATED, MAGNET, *TESTED)
