"""The mark of a verdict means what it shows: a bar, what was measured, against a limit."""

import re

from sixwright.kernel.intervals import Verdict
from sixwright.reports.svg.verdict_mark import mark_svg

LIMIT = 13


def bars(verdict: Verdict) -> list[tuple[float, float]]:
    """From where to where the level strokes of a mark reach, as the drawn path says."""
    paths = re.findall(r' d="([^"]+)"', mark_svg(verdict))
    assert paths[0] == f"M{LIMIT} 0v14"
    found = [match for path in paths[1:] for match in re.findall(r"M(\d+) 7h(\d+)", path)]
    return [(float(x), float(x) + float(across)) for x, across in found]


def test_the_bar_lies_inside_across_or_beyond_the_limit_as_the_verdict_says():
    assert all(end < LIMIT for _, end in bars(Verdict.HOLDS))
    assert all(start < LIMIT < end for start, end in bars(Verdict.DOUBTFUL))
    assert all(start > LIMIT for start, _ in bars(Verdict.FAILS))


def test_unchecked_has_no_bar_but_dots_on_both_sides():
    (left, right) = bars(Verdict.UNCHECKED)
    assert left[1] < LIMIT < right[0]
    assert 'stroke-dasharray="2 3"' in mark_svg(Verdict.UNCHECKED)


def test_a_mark_is_drawn_in_the_colour_of_its_words_and_silent():
    for verdict in Verdict:
        drawn = mark_svg(verdict)
        assert "#" not in drawn
        assert 'aria-hidden="true"' in drawn
