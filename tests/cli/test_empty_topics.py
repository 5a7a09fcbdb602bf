"""A question of which a line has nothing yet is not said to need nothing."""

import pytest

from cli.test_command import sixwright
from storage.small_line import small_line


@pytest.mark.parametrize("topic", ["likeness", "dates", "voices"])
def test_what_cannot_be_judged_needs_something(tmp_path, topic):
    said = sixwright("check", small_line(tmp_path), topic).stdout
    assert "unchecked" in said
    assert "Nothing needs you here" not in said
