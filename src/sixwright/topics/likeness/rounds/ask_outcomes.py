"""What became of each ask in the next round: how far it went that way, by the two sculpts alone."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sixwright.kernel.intervals import Interval
from sixwright.line.landmarks import name_of
from sixwright.line.likeness import UNDONE, Key, Round, SculptAsk
from sixwright.numerics.propagation import propagated
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import projection, similarity
from sixwright.topics.likeness.alignment.gauge import BOUND, placing_mm
from sixwright.topics.likeness.ask_answers import AskAnswer
from sixwright.topics.likeness.ask_ways import AskedMove, side_of, way_of
from sixwright.topics.likeness.features import FEATURES
from sixwright.topics.likeness.model import Inputs
from sixwright.topics.likeness.person.arrays import placed_on, terms_of
from sixwright.topics.likeness.rounds.moved import LEAST_SHARED, PASSES
from sixwright.topics.likeness.rounds.verdicts import TOLERANCE_MM

LEVEL, TWO_SIDED = 0.95, 1.96
_KEYS = {name: [(id_, s) for id_, sides in parts for s in sides] for name, parts in FEATURES}


@dataclass(frozen=True, slots=True)
class _Moved:
    """What moved from one round to a later one, in the frame of the first.

    Attributes
    ----------
    keys, before, moves
        Landmarks on both, where they lay (n, 3), and how they moved (n, 3); mm.
    covariance
        (3n, 3n), of the moves, after the two were laid on each other.
    """

    keys: list[Key]
    before: Floats
    moves: Floats
    covariance: Floats


def ask_answers(inputs: Inputs) -> tuple[AskAnswer, ...]:
    """What became of each ask that is not declined or withdrawn.

    Parameters
    ----------
    inputs
        The folder's nouns.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a place is not finite; reading a folder refuses that first.

    Source
    ------
    docs/topics/likeness.md, “What became of an ask”. The interval is that of the placements on
    both rounds, after the two are laid on each other by what nobody asked to change.
    """
    live = [ask for ask in inputs.asks.values() if ask.state not in UNDONE]
    return tuple(_judged(inputs, ask, live) for ask in live)


def keys_of(ask: SculptAsk) -> list[Key]:
    """The landmarks that an ask is about; none where it names no feature that is known."""
    if ask.landmark is not None:
        return [(ask.landmark, ask.side or "mid")]
    return _KEYS.get(ask.subject.strip().lower(), [])


def way_asked(ask: SculptAsk) -> AskedMove | None:
    """Where to an ask goes; None where its words cannot be read."""
    side = (ask.side or "mid") if ask.landmark is not None else side_of(ask.subject.lower())
    return way_of(ask.direction, ask.mm, side)


def _judged(inputs: Inputs, ask: SculptAsk, live: Sequence[SculptAsk]) -> AskAnswer:
    keys, way = keys_of(ask), way_asked(ask)
    found = AskAnswer(ask.id, name=_name(inputs, ask), tolerance_mm=_tolerance(inputs, ask, keys))
    if way is None or not keys:
        return _why(found, "words")
    later = _next(inputs, ask)
    if later is None:
        return _why(found, "next", way.length_mm)
    asked = {key for each in live if each.round == ask.round for key in keys_of(each)}
    moved = _moved(inputs, ask.round, later.id, asked)
    rows = [] if moved is None else [moved.keys.index(k) for k in keys if k in moved.keys]
    if moved is None or not rows or (way.grow_mm is not None and len(rows) < 2):
        return _why(found, "landmarks", way.length_mm)
    part = _part(moved, rows, way)
    along = float(part @ moved.moves.ravel())
    spread = float(np.sqrt(np.maximum(part @ moved.covariance @ part, 0.0)))
    low, high = along - TWO_SIDED * spread, along + TWO_SIDED * spread
    aside = 0.0
    if way.move_mm is not None:
        unit = np.array(way.move_mm) / way.length_mm
        aside = float(np.linalg.norm(moved.moves[rows].mean(axis=0) - along * unit))
    return AskAnswer(
        ask.id,
        later.id,
        found.name,
        way.length_mm,
        Interval(along, low, high, LEVEL),
        _away(along, low, high, way.length_mm),
        aside,
        found.tolerance_mm,
    )


def _why(found: AskAnswer, reason: str, asked_mm: float = 0.0) -> AskAnswer:
    return AskAnswer(
        found.ask,
        name=found.name,
        asked_mm=asked_mm,
        tolerance_mm=found.tolerance_mm,
        reason=reason,
    )


def _away(along: float, low: float, high: float, asked: float) -> Interval:
    """How far from what was asked, with the ends of the interval; zero where it holds that."""
    ends = sorted((abs(low - asked), abs(high - asked)))
    near = 0.0 if low <= asked <= high else ends[0]
    return Interval(abs(along - asked), near, ends[1], LEVEL)


def _part(moved: _Moved, rows: list[int], way: AskedMove) -> Floats:
    """(3n,): what makes of all moves how far the ask went its way."""
    part = np.zeros((len(moved.keys), 3))
    if way.move_mm is not None:
        part[rows] = np.array(way.move_mm) / way.length_mm / len(rows)
        return part.ravel()
    arms = moved.before[rows] - moved.before[rows].mean(axis=0)
    total = float((arms**2).sum())
    half = float(np.sqrt((arms**2).sum(axis=1).mean()))
    part[rows] = np.sign(way.grow_mm or 1.0) * half * arms / total
    return part.ravel()


def _next(inputs: Inputs, ask: SculptAsk) -> Round | None:
    """The first later round of the same sculpt that has landmarks."""
    first = inputs.rounds.get(ask.round)
    if first is None:
        return None
    later = [
        each
        for each in inputs.rounds.values()
        if each.sculpt == first.sculpt
        and (each.number or 0) > (first.number or 0)
        and placed_on(inputs, each.id)
    ]
    return min(later, key=lambda each: each.number or 0, default=None)


def _moved(inputs: Inputs, first: str, later: str, asked: set[Key]) -> _Moved | None:
    """How every landmark moved; laid on each other by those that nobody asked to change."""
    then, now = placed_on(inputs, first), placed_on(inputs, later)
    keys = [key for key in then if key in now]
    if len(keys) < LEAST_SHARED:
        return None
    old, new = np.array([then[k] for k in keys]), np.array([now[k] for k in keys])
    spread = np.hypot(
        [placing_mm(inputs, first)[k] for k in keys], [placing_mm(inputs, later)[k] for k in keys]
    )
    left = np.array([key not in asked for key in keys])
    base = left.astype(float) if left.sum() >= LEAST_SHARED else np.ones(len(keys))
    weights = base
    for _ in range(PASSES):
        off = np.linalg.norm(similarity(new, old, weights).of(new) - old, axis=1)
        some = off[base > 0]
        bound = max(BOUND * float(np.median(some)), 2 * float(np.median(spread)), 1e-6)
        weights = base / (1 + (off / bound) ** 2) ** 2
    laid = similarity(new, old, weights).of(new)
    kept = projection(old, weights)
    covariance = propagated(kept, np.diag(np.repeat(spread**2, 3)))
    return _Moved(keys, old, laid - old, covariance)


def _tolerance(inputs: Inputs, ask: SculptAsk, keys: list[Key]) -> float:
    """What is allowed of the landmarks that an ask is about: the least of them."""
    first = inputs.rounds.get(ask.round)
    sculpt = inputs.sculpts.get(first.sculpt) if first else None
    if sculpt is None:
        return TOLERANCE_MM
    own = [
        target.tolerance_mm
        for target in inputs.targets
        if target.sculpt == sculpt.id
        and (target.landmark, target.side) in keys
        and target.tolerance_mm is not None
    ]
    return min(own, default=sculpt.tolerance_mm or TOLERANCE_MM)


def _name(inputs: Inputs, ask: SculptAsk) -> str:
    if ask.landmark is None:
        return ask.subject or ask.id
    term = terms_of(inputs).get(ask.landmark)
    return name_of((ask.landmark, ask.side or "mid"), (term.name if term else "") or ask.landmark)
