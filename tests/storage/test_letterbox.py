"""Black bars are found to the line, and what only looks like one is left."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from sixwright.storage.letterbox import Bars, bars_of


def framed(left=0, top=0, right=0, bottom=0, *, quality=None, black=0):
    rng = np.random.Generator(np.random.Philox(7))
    inner = rng.integers(60, 220, (300 - top - bottom, 400 - left - right), np.uint8)
    whole = np.full((300, 400), black, np.uint8)
    whole[top : 300 - bottom, left : 400 - right] = inner
    image = Image.fromarray(whole).convert("RGB")
    if quality is None:
        return image
    made = BytesIO()
    image.save(made, "JPEG", quality=quality)
    return Image.open(BytesIO(made.getvalue()))


@pytest.mark.parametrize(
    "bars",
    [(0, 0, 0, 0), (0, 38, 0, 38), (0, 38, 0, 36), (50, 0, 50, 0), (50, 30, 52, 30)],
    ids=str,
)
def test_bars_are_found_to_the_line(bars):
    assert bars_of(framed(*bars)) == Bars(*bars)
    assert bars_of(framed(*bars, black=16)) == Bars(*bars)  # black as video has it


def test_compression_moves_their_edge_by_no_more_than_a_block():
    found = bars_of(framed(0, 40, 0, 40, quality=60))
    assert abs(found.top - 40) <= 8
    assert abs(found.bottom - 40) <= 8


@pytest.mark.parametrize("bars", [(0, 60, 0, 0), (0, 60, 0, 20), (0, 3, 0, 3), (0, 140, 0, 140)])
def test_what_is_no_pair_or_too_thin_or_too_wide_is_no_bar(bars):
    assert not bars_of(framed(*bars))


def test_a_night_sky_is_no_bar():
    rng = np.random.Generator(np.random.Philox(8))
    sky = rng.poisson(6, (300, 400)).astype(np.uint8)
    sky[rng.random((300, 400)) < 0.02] = 200  # stars and lamps
    shade = np.linspace(0, 140, 300)[:, None]
    image = np.clip(sky + shade * (np.arange(300)[:, None] > 60), 0, 255).astype(np.uint8)
    assert not bars_of(Image.fromarray(image))
    assert not bars_of(Image.new("RGB", (400, 300)))  # all black
