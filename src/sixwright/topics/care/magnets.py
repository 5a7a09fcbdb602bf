"""How strong a disc magnet is: its field, and the flux index that the rule for magnets limits."""

import re
from dataclasses import dataclass
from math import pi

from sixwright.kernel.errors import InputError
from sixwright.kernel.intervals import Interval

# Remanence of each grade, T, lowest and highest: the tables of two makers of magnets.
GRADES = {
    "N35": (1.17, 1.22), "N38": (1.22, 1.25), "N40": (1.25, 1.28), "N42": (1.28, 1.32),
    "N45": (1.32, 1.38), "N48": (1.38, 1.42), "N50": (1.40, 1.45), "N52": (1.42, 1.48),
}  # fmt: skip
LIMIT = 50  # kG²·mm²; 16 CFR 1262: below it
# Where the probe reads, mm above the pole, and its tolerance (ASTM F963, 8.25; from memory).
PROBE_MM, PROBE_TOLERANCE_MM = 0.38, 0.13
KILOGAUSS = 10  # in a tesla
RADII = 200  # at which the field over the pole is looked for its largest
_GRADE = re.compile(r"(?<!\w)(N\d{2})(?:M|H|SH)?(?!\w)", re.IGNORECASE)
_SIZE = re.compile(r"(\d+(?:[.,]\d+)?)((?:\s*[×x*]\s*\d+(?:[.,]\d+)?)+)\s*mm", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Disc:
    """A disc magnetised along its axis, by grade and size."""

    grade: str
    diameter_mm: float
    thickness_mm: float


def read_disc(text: str) -> Disc | None:
    """The grade and size that a text states, as in “N42, 6 × 3 mm”; None where it does not.

    A size of three lengths is that of a block, and is not taken for a disc.
    """
    grade, size = _GRADE.search(text), _SIZE.search(text)
    if grade is None or size is None or grade[1].upper() not in GRADES:
        return None
    lengths = [float(number.replace(",", ".")) for number in re.findall(r"[\d.,]+", size[0])]
    if len(lengths) != 2 or not all(lengths):
        return None
    return Disc(grade[1].upper(), max(lengths), min(lengths))


def axial_field_t(
    radius_mm: float, thickness_mm: float, *, remanence_t: float, rho_mm: float, above_mm: float
) -> float:
    """Flux density along the axis of a disc magnet, at a place above its pole, T.

    Parameters
    ----------
    radius_mm, thickness_mm
        Of the disc, above 0.
    remanence_t
        Of its material.
    rho_mm
        Distance of the place from the axis, 0 or more.
    above_mm
        Height of the place above the pole, above 0 off the axis, 0 or more on it.

    Raises
    ------
    InputError
        If a length is out of range.

    Source
    ------
    disc-magnet: the uniformly magnetised disc is a sheet of current around its edge, whose field
    is a complete elliptic integral (Derby and Olbert 2010, American Journal of Physics 78:229,
    equation 5); the integral in Carlson's symmetric forms.
    """
    if not (radius_mm > 0 and thickness_mm > 0 and rho_mm >= 0 and above_mm >= 0):
        raise InputError(
            "radius_mm and thickness_mm must be above 0, rho_mm and above_mm 0 or more; received "
            f"{(radius_mm, thickness_mm, rho_mm, above_mm)!r}."
        )
    far = _end(radius_mm, rho_mm, above_mm + thickness_mm)
    return remanence_t * (far - _end(radius_mm, rho_mm, above_mm))


def _end(radius: float, rho: float, height: float) -> float:
    """What one end of the sheet of current gives at a height above it, as a share of Br."""
    from scipy.special import elliprf, elliprj

    if height == 0:
        return 0.0
    total = (rho + radius) ** 2
    gamma = (radius - rho) / (radius + rho)
    modulus = (height**2 + (radius - rho) ** 2) / (height**2 + total)
    # Bulirsch's cel(k, p, 1, s) = RF(0, k², 1) + (s - p)/3 · RJ(0, k², 1, p), with p = γ², s = γ.
    cel = elliprf(0, modulus, 1)
    cel += (gamma - gamma**2) / 3 * elliprj(0, modulus, 1, gamma**2) if gamma else 0.0
    return float(radius / (radius + rho) * height / (height**2 + total) ** 0.5 * cel / pi)


def flux_index(disc: Disc) -> Interval:
    """Flux index of a disc magnet: its largest flux density, squared, times its pole's area.

    In kG²·mm².

    The value is read on the axis, at the probe's own height. The low end is read on the axis too,
    at the probe's greatest height and the grade's least remanence; the high end where the field
    over the pole is largest, at the least height and the greatest remanence.

    Source
    ------
    16-cfr-1262 for what it is; disc-magnet for the field. That the ends hold a reading in 95 % of
    cases is own choice: they add the tolerance of the probe to the range of the grade.
    """
    weak, strong = GRADES[disc.grade]
    radius = disc.diameter_mm / 2
    area = pi * radius**2

    def index(remanence_t: float, above_mm: float, rho_mm: float) -> float:
        field = axial_field_t(
            radius,
            disc.thickness_mm,
            remanence_t=remanence_t,
            rho_mm=rho_mm,
            above_mm=above_mm,
        )
        return (field * KILOGAUSS) ** 2 * area

    low = index(weak, PROBE_MM + PROBE_TOLERANCE_MM, 0.0)
    value = index((weak + strong) / 2, PROBE_MM, 0.0)
    near = PROBE_MM - PROBE_TOLERANCE_MM
    high = max(index(strong, near, radius * step / RADII) for step in range(RADII))
    return Interval(value, low, high)
