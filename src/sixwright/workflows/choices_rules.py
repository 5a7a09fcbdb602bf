"""What is judged of choices; docs/topics/choices.md documents each."""

from sixwright.kernel.findings import Doubt, Rule
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sources import Source
from sixwright.kernel.units import things

TOPIC = "choices"
DEFINITION = Source("choices-definition", "Own choice: “Which way should we go?” in the manual")

OPEN = Rule(
    TOPIC, "open", "Options that cannot be compared", things("option", "options"), DEFINITION
)
TAKEN = Rule(TOPIC, "taken", "Measures that moved", things("measure", "measures"), DEFINITION)

RULES = (OPEN, TAKEN)


class ChoiceDoubt(Doubt):
    """Why a verdict on a choice departs from its count."""

    MOVED = ("what it rested on has moved since, which may or may not change it", Verdict.DOUBTFUL)
