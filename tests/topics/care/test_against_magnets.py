"""The field of a disc magnet and its flux index, against an integral and a worked sheet.

The integral is Coulomb's law over the two discs of magnetic charge, by scipy's quadrature: it
shares nothing with the elliptic integrals of the code. The worked values are of a reference sheet
that was computed from the textbook's formula on the axis before this code was written; it gives
four digits of a flux density and one after the point of an index.
"""

from math import cos, pi, sin

import pytest
from scipy.integrate import dblquad

from sixwright.kernel.errors import InputError
from sixwright.kernel.intervals import Limit, Verdict, judge
from sixwright.topics.care.magnets import (
    GRADES,
    LIMIT,
    Disc,
    axial_field_t,
    flux_index,
    read_disc,
)

PRINTED_T, PRINTED_INDEX = 0.00005, 0.05
MU_0 = 4e-7 * pi


def by_charges(radius, thickness, remanence, rho, above):
    """Flux density along the axis of two discs of charge, T: the near pole less the far one."""

    def disc(height):
        def share(angle, at):
            square = (rho - at * cos(angle)) ** 2 + (at * sin(angle)) ** 2 + height**2
            return height * at / square**1.5

        return dblquad(share, 0, radius, 0, 2 * pi, epsabs=1e-9)[0]

    return remanence / (4 * pi) * (disc(above) - disc(above + thickness))


@pytest.mark.parametrize("rho", [0, 0.4, 1.5, 2.4, 2.9, 6.0])
@pytest.mark.parametrize(("radius", "thickness"), [(2.5, 2.0), (1.5, 1.0), (5.0, 3.0)])
def test_the_field_is_that_of_two_discs_of_magnetic_charge(radius, thickness, rho):
    for above in (0.25, 0.38, 3.0):
        found = axial_field_t(radius, thickness, remanence_t=1.3, rho_mm=rho, above_mm=above)
        assert found == pytest.approx(by_charges(radius, thickness, 1.3, rho, above), abs=1e-7)


@pytest.mark.parametrize(
    ("diameter", "thickness", "above", "field"),
    [(5, 2, 0, 0.4061), (5, 2, 0.38, 0.3505), (10, 3, 0, 0.3344)],
    ids=["5 × 2 at the pole", "5 × 2 at 0.38 mm", "10 × 3 at the pole"],
)
def test_the_field_on_the_axis_is_that_of_the_sheet(diameter, thickness, above, field):
    found = axial_field_t(diameter / 2, thickness, remanence_t=1.3, rho_mm=0, above_mm=above)
    assert found == pytest.approx(field, abs=PRINTED_T)


@pytest.mark.parametrize(
    ("diameter", "thickness", "remanence", "at_pole", "at_probe"),
    [
        (5, 2, 1.30, 323.7, 241.2),
        (3, 1, 1.19, 77.0, 46.6),
        (3, 1, 1.30, 91.9, 55.6),
        (2, 1, 1.30, 66.4, 27.4),
        (10, 3, 1.30, 878.4, 778.2),
    ],
    ids=["5 × 2", "3 × 1 N35", "3 × 1", "2 × 1", "10 × 3"],
)
def test_the_index_on_the_axis_is_that_of_the_sheet(
    diameter, thickness, remanence, at_pole, at_probe
):
    area = pi * diameter**2 / 4
    for above, index in ((0, at_pole), (0.38, at_probe)):
        field = axial_field_t(
            diameter / 2, thickness, remanence_t=remanence, rho_mm=0, above_mm=above
        )
        assert (10 * field) ** 2 * area == pytest.approx(index, abs=PRINTED_INDEX)


def test_far_away_the_disc_is_a_dipole():
    """B = μ₀ 2m / 4πz³ with m = Br V / μ₀: any textbook on magnetism, e.g. Jackson, 5.6."""
    moment = 1.3 * pi * 0.0025**2 * 0.002 / MU_0
    field = axial_field_t(2.5, 2.0, remanence_t=1.3, rho_mm=0, above_mm=499)
    assert field == pytest.approx(MU_0 * 2 * moment / (4 * pi * 0.5**3), rel=1e-4)


def test_a_magnet_twice_the_size_has_the_same_field_in_twice_the_place():
    one = axial_field_t(2.0, 1.0, remanence_t=1.2, rho_mm=0.7, above_mm=0.5)
    two = axial_field_t(4.0, 2.0, remanence_t=1.2, rho_mm=1.4, above_mm=1.0)
    assert one == pytest.approx(two, rel=1e-12)


@pytest.mark.parametrize("grade", GRADES)
def test_the_interval_holds_every_reading_on_the_axis_within_the_tolerances(grade):
    """Heights of 0.25 to 0.51 mm and the grade's remanence, by the integral."""
    found = flux_index(Disc(grade, 4.0, 2.0))
    for above in (0.25, 0.38, 0.51):
        for remanence in GRADES[grade]:
            field = by_charges(2.0, 2.0, remanence, 0, above)
            index = (10 * field) ** 2 * pi * 4
            assert found.low - 1e-6 <= index <= found.high + 1e-6


def test_a_reading_near_the_rim_of_a_flat_disc_lies_within_too():
    """A flat disc is strongest near its rim: the highest reading is not on the axis."""
    found = flux_index(Disc("N42", 10.0, 1.0))
    rim = by_charges(5.0, 1.0, 1.32, 4.6, 0.25)
    assert rim > by_charges(5.0, 1.0, 1.32, 0, 0.25)
    assert found.high >= (10 * rim) ** 2 * pi * 25


def test_a_3_by_1_disc_of_n35_is_told_as_a_band_and_not_as_a_pass():
    found = flux_index(Disc("N35", 3.0, 1.0))
    assert judge(found, Limit("<", LIMIT)) is Verdict.DOUBTFUL
    assert judge(flux_index(Disc("N42", 6.0, 3.0)), Limit("<", LIMIT)) is Verdict.FAILS
    assert judge(flux_index(Disc("N35", 2.0, 1.0)), Limit("<", LIMIT)) is Verdict.HOLDS


@pytest.mark.parametrize(
    ("text", "disc"),
    [
        ("N42, 6 × 3 mm", Disc("N42", 6.0, 3.0)),
        ("disc 3x1mm n35", Disc("N35", 3.0, 1.0)),
        ("2,5 * 5 mm N52M", Disc("N52", 5.0, 2.5)),
        ("N42", None),
        ("6 × 3 mm", None),
        ("N42 10 × 5 × 2 mm", None),
        ("N99, 6 × 3 mm", None),
        ("N42, 0 × 3 mm", None),
        ("", None),
    ],
)
def test_grade_and_size_are_read_where_both_are_stated(text, disc):
    assert read_disc(text) == disc


@pytest.mark.parametrize("wrong", [{"radius_mm": 0}, {"thickness_mm": -1}, {"above_mm": -0.1}])
def test_a_length_out_of_range_is_refused(wrong):
    asked = {"radius_mm": 2, "thickness_mm": 1, "remanence_t": 1.2, "rho_mm": 0, "above_mm": 1}
    with pytest.raises(InputError, match="must be above 0"):
        axial_field_t(**(asked | wrong))
