"""What takes long is remembered as JSON: what comes back is what went in, to the last bit."""

from pydantic import TypeAdapter

from sixwright.line.voices import CommentSubject
from sixwright.topics.voices.compute import hear
from sixwright.topics.voices.model import Heard, Told
from topics.voices.builders import TODAY, comment, options, poll, votes


def test_it_comes_back_as_it_was():
    said = {"rate": {"a": 1, "b": 4}, "rank": {"a": 1, "b": 2}, "choice": {"a": 1, "odd": 1}}
    for kind, answers in said.items():
        told = Told({"heads": poll(kind, least=1, most=5)}, options("a", "b"),
                    votes({f"v{i}": answers for i in range(40)}, backers=["v1", "v2"]), (),
                    tuple(comment("the lantern", i, voter=f"v{i}") for i in range(4)),
                    {"cape": CommentSubject("cape", "", ("cape",))}, TODAY)  # fmt: skip
        heard, kept = hear(told), TypeAdapter(Heard)
        assert kept.validate_json(kept.dump_json(heard), strict=False) == heard
        assert TypeAdapter(Told).dump_json(told)
