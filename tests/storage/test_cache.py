"""What was computed is remembered by its inputs, and never at the price of an answer."""

import json
import shutil
import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.kernel.intervals import Interval, Verdict
from sixwright.storage import cache


@dataclass(frozen=True)
class Asked:
    places: dict[str, tuple[float, float]]
    seed: int = 0


@dataclass(frozen=True)
class Told:
    value: float
    verdict: Verdict = Verdict.HOLDS
    off: Interval | None = None
    rows: tuple[tuple[str, float | None], ...] = ()
    exact: Fraction = Fraction(1, 3)


ASKED = Asked({"a": (0.1, 2.0)})
TOLD = Told(0.1 + 0.2, Verdict.FAILS, Interval(1.0, 0.5, 2.0), (("x", None), ("y", -0.0)))


@pytest.fixture(autouse=True)
def away(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))
    monkeypatch.setattr(cache, "_HELD", {})
    return tmp_path / "cache"


def ask(asked=ASKED, told=TOLD, name="try"):
    """The answer, and whether it was computed for it."""
    made = []
    cache._HELD.clear()  # as another process would ask
    answer = cache.memo(name, asked, Told, lambda: made.append(1) or told)
    return answer, bool(made)


def test_the_same_inputs_are_computed_once():
    assert ask() == (TOLD, True)
    assert ask() == (TOLD, False)


def test_the_last_answer_needs_no_file(away):
    ask()
    shutil.rmtree(away)
    made = []
    again = cache.memo("try", replace(ASKED), Told, lambda: made.append(1) or TOLD)
    assert (again, made) == (TOLD, [])
    other = cache.memo("try", replace(ASKED, seed=2), Told, lambda: made.append(1) or TOLD)
    assert (other, made) == (TOLD, [1])


def test_other_inputs_other_code_and_another_name_are_computed(monkeypatch):
    ask()
    assert ask(replace(ASKED, seed=1))[1]
    assert ask(replace(ASKED, places={"a": (0.1, 2.0000000000000004)}))[1]
    assert ask(name="other")[1]
    assert not ask()[1]
    monkeypatch.setattr(cache, "digest_of_code", lambda module: f"another of {module}")
    assert ask()[1]


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_come_back_to_the_last_bit(value):
    asked = Asked({"f": (value, value)})
    ask(asked, Told(value))
    assert ask(asked)[0].value.hex() == value.hex()


@pytest.mark.parametrize("content", [b"", b"{", b"null", b'{"value": "x"}', b"\xff"])
def test_a_broken_entry_is_a_miss(away, content):
    ask()
    (entry,) = away.rglob("*.json")
    entry.write_bytes(content)
    assert ask() == (TOLD, True)
    assert ask() == (TOLD, False)


def test_an_entry_that_lacks_a_field_is_a_miss(away):
    ask()
    (entry,) = away.rglob("*.json")
    told = json.loads(entry.read_bytes())
    del told["rows"]  # a field with a default, as a later version would have added it
    entry.write_bytes(json.dumps(told, separators=(",", ":")).encode())
    assert ask() == (TOLD, True)
    assert ask() == (TOLD, False)


def test_two_who_ask_at_once_get_one_computation():
    made = []
    started, go = threading.Event(), threading.Event()

    def slow():
        started.set()
        go.wait(30)
        made.append(1)
        return TOLD

    def asks():
        return cache.memo("slow", ASKED, Told, slow)

    with ThreadPoolExecutor(2) as threads:
        first = threads.submit(asks)
        started.wait(30)
        second = threads.submit(asks)
        go.set()
        assert (first.result(30), second.result(30)) == (TOLD, TOLD)
    assert made == [1]


def test_a_cache_that_cannot_be_written_costs_no_answer(away):
    away.write_text("a file where the folder would be")
    assert ask() == (TOLD, True)
    assert ask() == (TOLD, True)


def test_the_oldest_go_when_all_are_too_large(away, monkeypatch):
    import os

    ask()
    (first,) = away.rglob("*.json")
    os.utime(first, (1, 1))
    monkeypatch.setattr(cache, "MOST_BYTES", first.stat().st_size * 2)
    ask(name="second")
    ask(name="third")
    assert not first.exists()
    assert len(list(away.rglob("*.json"))) == 2


def test_files_of_somebody_elses_stay_whatever_room_is_wanted(away, monkeypatch):
    ask()
    (first,) = away.rglob("*.json")
    own = first.with_name("accounts-2026.json")
    own.write_text("the producer's own, in a folder that SIXWRIGHT_CACHE names")
    monkeypatch.setattr(cache, "MOST_BYTES", 1)
    ask(name="second")
    assert own.exists()
    assert not first.exists()
