"""How long something takes, as a distribution: fixed, by three points, or by mean and variance."""

from dataclasses import dataclass
from math import isfinite

import numpy as np
from scipy.special import betainc, gammainc, gammaincinv

from sixwright.kernel.errors import InputError

# The quantile of the beta distribution is read off its distribution function at so many steps:
# within 1e-6 of the range between the 0.1 and the 99.9 % point and within a step beyond, and ten
# times as fast as inverting it.
_STEPS = 4096
_GRID = np.linspace(0.0, 1.0, _STEPS + 1)
# Beyond this share nothing is left of a distribution that a double could tell.
_ALL = 1 - 1e-12


@dataclass(frozen=True, slots=True)
class Fixed:
    """A duration that is known: `value`, 0 or more."""

    value: float

    def __post_init__(self) -> None:
        if not (isfinite(self.value) and self.value >= 0):
            raise InputError(f"value must be 0 or more; received {self.value!r}.")

    @property
    def mean(self) -> float:
        """The value itself."""
        return self.value

    @property
    def variance(self) -> float:
        """None at all."""
        return 0.0

    def share_within(self, value: float) -> float:
        """1 from the value on, 0 before it."""
        return 1.0 if value >= self.value else 0.0

    def quantile(self, shares: np.ndarray) -> np.ndarray:
        """The value, for every share."""
        return np.full(shares.shape, self.value)


@dataclass(frozen=True, slots=True)
class ThreePoints:
    """A duration by its low, likely and high point, 0 ≤ low ≤ likely ≤ high and low < high.

    The beta distribution on [low, high] whose mode is the likely point.

    Source
    ------
    malcolm-1959 for the mean (a + 4m + b)/6; the shapes α = 1 + 4(m − a)/(b − a) and
    β = 1 + 4(b − m)/(b − a) are what gives it this mode and this mean. Its variance is
    (μ − a)(b − μ)/7, not the ((b − a)/6)² of the textbook, which holds for no one shape.
    """

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        ordered = 0 <= self.low <= self.likely <= self.high and self.low < self.high
        if not (ordered and isfinite(self.high)):
            points = (self.low, self.likely, self.high)
            raise InputError(f"points must rise from 0 on, low below high; received {points!r}.")

    @property
    def mean(self) -> float:
        """(a + 4m + b)/6."""
        return (self.low + 4 * self.likely + self.high) / 6

    @property
    def variance(self) -> float:
        """(μ − a)(b − μ)/7: that of the beta distribution with α + β = 6."""
        return (self.mean - self.low) * (self.high - self.mean) / 7

    @property
    def _shapes(self) -> tuple[float, float]:
        width = self.high - self.low
        return 1 + 4 * (self.likely - self.low) / width, 1 + 4 * (self.high - self.likely) / width

    def share_within(self, value: float) -> float:
        """Chance that it takes no longer than `value`."""
        at = min(max((value - self.low) / (self.high - self.low), 0.0), 1.0)
        return float(betainc(*self._shapes, at))

    def quantile(self, shares: np.ndarray) -> np.ndarray:
        """Durations that it stays within with these chances; rises with the shares."""
        within = betainc(*self._shapes, _GRID)
        points: np.ndarray = np.interp(shares, within, _GRID)
        return self.low + (self.high - self.low) * points


@dataclass(frozen=True, slots=True)
class Gamma:
    """A duration by its mean and variance, both above 0: a gamma distribution."""

    mean: float
    variance: float

    def __post_init__(self) -> None:
        usable = self.mean > 0 and self.variance > 0
        if not (usable and isfinite(self.mean) and isfinite(self.variance)):
            both = (self.mean, self.variance)
            raise InputError(f"mean and variance must be above 0; received {both!r}.")

    @property
    def _shape(self) -> float:
        return self.mean * self.mean / self.variance

    def share_within(self, value: float) -> float:
        """Chance that it takes no longer than `value`."""
        return float(gammainc(self._shape, max(value, 0.0) * self.mean / self.variance))

    def quantile(self, shares: np.ndarray) -> np.ndarray:
        """Durations that it stays within with these chances; rises with the shares."""
        scaled: np.ndarray = gammaincinv(self._shape, shares) * (self.variance / self.mean)
        return scaled


Duration = Fixed | ThreePoints | Gamma


def three_points(low: float, likely: float, high: float) -> Fixed | ThreePoints:
    """The duration of three points; one that is known where low and high are the same.

    Raises
    ------
    InputError
        If they do not rise from 0 on.

    Source
    ------
    As `ThreePoints`.
    """
    return Fixed(likely) if low == likely == high else ThreePoints(low, likely, high)


def stated_and_seen(stated: Duration, seen: list[float], weight: float) -> Duration:
    """A stated duration and durations that were seen, counted together.

    Mean and variance of `seen` count once each time that it was seen, those of `stated` `weight`
    times.

    Parameters
    ----------
    seen
        Two durations or more, each above 0.
    weight
        Above 0.

    Raises
    ------
    InputError
        If there are fewer than two.

    Source
    ------
    Own choice: shared definition of dates. The variance of the seen is the sample's, with n − 1.
    """
    count = len(seen)
    if count < 2:
        raise InputError(f"seen must be two durations or more; received {count}.")
    mean_seen = sum(seen) / count
    spread = sum((each - mean_seen) ** 2 for each in seen) / (count - 1)
    mean = (count * mean_seen + weight * stated.mean) / (count + weight)
    variance = (count * spread + weight * stated.variance) / (count + weight)
    return Gamma(mean, variance) if mean > 0 and variance > 0 else Fixed(mean)


def what_is_left(
    duration: Duration, elapsed: float, shares: np.ndarray, *, least: float
) -> np.ndarray:
    """Days left of something that has taken `elapsed` and is not done.

    Parameters
    ----------
    elapsed
        0 or more.
    shares
        Uniform numbers between 0 and 1, shape (draws,).
    least
        What is left where it has taken longer than it could.

    Returns
    -------
    ndarray
        Shape (draws,): the duration given that it is above `elapsed`, less `elapsed`.

    Raises
    ------
    InputError
        If `elapsed` is below 0.
    """
    if not elapsed >= 0:
        raise InputError(f"elapsed must be 0 or more; received {elapsed!r}.")
    if elapsed == 0:
        return duration.quantile(shares)
    gone = duration.share_within(elapsed)
    if gone >= _ALL:
        return np.full(shares.shape, least)
    left = duration.quantile(gone + shares * (1 - gone)) - elapsed
    return np.maximum(left, 0.0)
