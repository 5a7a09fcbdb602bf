"""The interval rule: it must be shown to hold."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.kernel.errors import InputError
from sixwright.kernel.intervals import Interval, Limit, Verdict, exact, judge, worst


@pytest.mark.parametrize(
    ("low", "high", "op", "limit", "verdict"),
    [
        pytest.param(1.0, 2.0, "<=", 2.0, "holds", id="touching the limit is inside it"),
        pytest.param(1.0, 2.0, "<", 2.0, "doubtful", id="touching a strict limit straddles"),
        pytest.param(2.1, 3.0, "<=", 2.0, "fails", id="all above"),
        pytest.param(1.0, 2.1, "<=", 2.0, "doubtful", id="straddles"),
        pytest.param(2.0, 3.0, ">=", 2.0, "holds", id="at least"),
        pytest.param(1.0, 3.0, ">=", 2.0, "doubtful", id="at least, straddles"),
        pytest.param(2.0, 2.0, "==", 2.0, "holds", id="exactly"),
        pytest.param(1.9, 2.1, "==", 2.0, "doubtful", id="about"),
        pytest.param(2.1, 2.2, "==", 2.0, "fails", id="not equal"),
    ],
)
def test_the_whole_interval_decides(
    low: float, high: float, op: str, limit: float, verdict: str
) -> None:
    assert judge(Interval((low + high) / 2, low, high), Limit(op, limit)) == verdict


def test_nothing_measured_is_unchecked() -> None:
    assert judge(None, Limit("<=", 1)) is Verdict.UNCHECKED


@given(st.floats(-1e6, 1e6), st.floats(0, 1e6), st.floats(-1e6, 1e6), st.floats(0, 1e6))
def test_a_wider_interval_never_turns_doubt_into_a_verdict(
    value: float, half: float, limit: float, more: float
) -> None:
    narrow = judge(Interval(value, value - half, value + half), Limit("<=", limit))
    wide = judge(Interval(value, value - half - more, value + half + more), Limit("<=", limit))
    assert wide in {narrow, Verdict.DOUBTFUL}


def test_the_worst_is_what_needs_the_producer_soonest() -> None:
    assert worst([Verdict.HOLDS, Verdict.DOUBTFUL, Verdict.FAILS]) is Verdict.FAILS
    assert worst([Verdict.HOLDS, Verdict.UNCHECKED, Verdict.DOUBTFUL]) is Verdict.UNCHECKED
    assert worst([]) is Verdict.UNCHECKED


def test_an_interval_that_does_not_hold_its_value_is_refused() -> None:
    with pytest.raises(InputError, match="low <= value <= high"):
        Interval(3.0, 1.0, 2.0)
    assert exact(3).low == exact(3).high == 3
