"""Numbers by name: the published generator, and that nothing else moves them."""

import numpy as np
import pytest

from numerics.philox import philox_4x64, two_uniforms
from sixwright.kernel.errors import InputError
from sixwright.numerics.draws import uniforms


def test_the_generator_written_out_gives_the_published_answer():
    # Known-answer vector of the authors' library Random123 for counter 0 and key 0 (from memory).
    expected = (0x16554D9ECA36314C, 0xDB20FE9D672D0FDC, 0xD7E772CEE186176B, 0x7E68B68AEC7BA23B)
    assert philox_4x64((0, 0, 0, 0), (0, 0)) == expected


# The digests of “base” and “head” are 2**63 or more, where a float no longer holds every number.
@pytest.mark.parametrize("name", ["sculpt-m1", "base", "head", "", "Тур"])
@pytest.mark.parametrize("seed", [42, 2**63 + 1, -1])
def test_a_number_is_a_function_of_seed_name_block_and_its_own_number(seed, name):
    first, second = uniforms(seed, name, 3, 50)
    for draw in (0, 1, 49):
        assert (first[draw], second[draw]) == two_uniforms(seed % 2**64, name, 3, draw)


def test_more_draws_leave_the_first_as_they_were():
    few, many = uniforms(1, "paint", 0, 100), uniforms(1, "paint", 0, 10_000)
    assert np.array_equal(few[0], many[0][:100])
    assert np.array_equal(few[1], many[1][:100])


@pytest.mark.parametrize("other", [(2, "paint", 0), (1, "print", 0), (1, "paint", 1)], ids=str)
def test_another_seed_name_or_block_gives_numbers_that_are_unrelated(other):
    one, another = uniforms(1, "paint", 0, 10_000)[0], uniforms(*other, 10_000)[0]
    # A correlation of independent numbers has a standard deviation of 1/100.
    assert abs(np.corrcoef(one, another)[0, 1]) < 0.05


def test_the_two_rows_are_uniform_and_unrelated():
    from scipy.stats import kstest

    one, another = uniforms(7, "tools", 0, 20_000)
    assert kstest(one, "uniform").pvalue > 0.001
    assert kstest(another, "uniform").pvalue > 0.001
    assert abs(np.corrcoef(one, another)[0, 1]) < 0.05
    assert min(one.min(), another.min()) > 0
    assert max(one.max(), another.max()) < 1


def test_what_cannot_be_drawn_is_refused():
    with pytest.raises(InputError, match="block must be 0 or more; received -1"):
        uniforms(1, "x", -1, 3)
    with pytest.raises(InputError, match="count must be 1 or more; received 0"):
        uniforms(1, "x", 0, 0)
