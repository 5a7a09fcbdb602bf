"""What care judges; docs/topics/care.md documents each."""

from sixwright.kernel.findings import Rule
from sixwright.kernel.units import symbol, things
from sixwright.topics.care import sources

TOPIC = "care"

_TESTS = things("test", "tests")
STATED = Rule(TOPIC, "stated", "Still to be said", things("hazard", "hazards"), sources.ASKED)
MAGNET = Rule(TOPIC, "magnet", "Flux index", symbol("kG²·mm²"), sources.MAGNETS)
CELL = Rule(TOPIC, "cell", "Recorded", _TESTS, sources.CELLS)
SHARP = Rule(TOPIC, "sharp", "Recorded", _TESTS, sources.EDGES)
POINT = Rule(TOPIC, "point", "Recorded", _TESTS, sources.POINTS)
CORD = Rule(TOPIC, "cord", "Recorded", _TESTS, sources.PRACTICE)
GLASS = Rule(TOPIC, "glass", "Recorded", _TESTS, sources.EDGES)
HOT = Rule(TOPIC, "hot", "Recorded", _TESTS, sources.PRACTICE)
MAINS = Rule(TOPIC, "mains", "Recorded", _TESTS, sources.PRACTICE)

TESTED = (CELL, SHARP, POINT, CORD, GLASS, HOT, MAINS)  # each by the hazard's own word
RULES = (STATED, MAGNET, *TESTED)
