"""From light to a photograph's file: the place behind, the lens's blur, grain, JPEG."""

from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import gaussian_filter

from stills.cameras import Shot
from stills.light import Bodies, shaded
from stills.raster import seen

Reals = NDArray[np.float64]

FINER = 2  # pixels drawn for one that is kept, on each side
BLUR_PX = 1.15
GRAIN, GRAIN_PX = 0.011, 0.7
LARGEST_BYTES = 58_000
QUALITIES = range(88, 30, -3)
# Colours of the places, dark to light.
PLACES = {
    "s01-quay": ((0.05, 0.08, 0.10), (0.30, 0.36, 0.40)),
    "s02-stairs": ((0.04, 0.04, 0.05), (0.22, 0.20, 0.18)),
    "s03-window": ((0.03, 0.04, 0.05), (0.40, 0.42, 0.42)),
    "s04-lamp": ((0.03, 0.02, 0.02), (0.34, 0.22, 0.10)),
    "s05-gate": ((0.06, 0.08, 0.07), (0.24, 0.28, 0.24)),
    "s06-rain": ((0.07, 0.09, 0.11), (0.24, 0.29, 0.33)),
    "s07-bell": ((0.05, 0.04, 0.03), (0.28, 0.23, 0.16)),
    "s08-ledger": ((0.04, 0.03, 0.03), (0.26, 0.20, 0.14)),
    "s09-bench": ((0.05, 0.07, 0.06), (0.30, 0.33, 0.28)),
    "s10-boat": ((0.05, 0.08, 0.10), (0.34, 0.40, 0.43)),
    "s11-storm": ((0.03, 0.04, 0.05), (0.16, 0.19, 0.22)),
    "s12-feast": ((0.05, 0.03, 0.02), (0.40, 0.26, 0.13)),
}


def photograph(shot: Shot, bodies: Bodies, from_all: Reals, chance: np.random.Generator) -> bytes:
    """The still as a JPEG file."""
    light = shaded(bodies, from_all, shot.light_deg, shot.place)
    width, height = shot.size
    finer = (shot.pixels(bodies.vertices) + 0.5) * FINER - 0.5
    forward = shot.seen_from(bodies.vertices)[:, 2]
    there = seen(finer, forward, bodies.faces, (width * FINER, height * FINER))
    behind = _behind(shot, chance)
    picture = np.where(
        there.face[..., None] < 0,
        behind.repeat(FINER, 0).repeat(FINER, 1),
        there.carried(bodies.faces, light),
    )
    picture = picture.reshape(height, FINER, width, FINER, 3).mean((1, 3))
    picture = gaussian_filter(picture, (BLUR_PX, BLUR_PX, 0))
    tones = _toned(picture) + _grain(picture.shape[:2], chance)[..., None]
    if shot.mirrored:
        tones = tones[:, ::-1]
    return _file(Image.fromarray((np.clip(tones, 0, 1) * 255 + 0.5).astype(np.uint8)))


def _behind(shot: Shot, chance: np.random.Generator) -> Reals:
    """The place behind, far out of focus."""
    width, height = shot.size
    y, x = np.mgrid[0:height, 0:width] / height
    dark, light = (np.array(colour) for colour in PLACES[shot.id])
    tone = 0.25 + 0.2 * np.sin(2.1 * x + chance.uniform(0, 6)) + 0.25 * (1 - y)
    for _ in range(14):
        at, size = chance.uniform((0, 0), (width / height, 1)), chance.uniform(0.04, 0.2)
        edge = size - np.hypot((x - at[0]) * chance.uniform(0.6, 2.2), y - at[1])
        tone += chance.uniform(-0.25, 0.4) / (1 + np.exp(-edge / 0.022))
    place: Reals = dark + np.clip(tone, 0, 1.2)[..., None] * (light - dark)
    return place


def _toned(light: Reals) -> Reals:
    """Tones as film has them: a soft shoulder, then the usual gamma."""
    bent: Reals = (1 - np.exp(-1.5 * light)) ** (1 / 2.15)
    return bent


def _grain(size: tuple[int, ...], chance: np.random.Generator) -> Reals:
    grain = gaussian_filter(chance.normal(0, 1, size), GRAIN_PX)
    coarse: Reals = grain * (GRAIN / grain.std())
    return coarse


def _file(picture: Image.Image) -> bytes:
    """The best JPEG that is not too large."""
    for quality in QUALITIES:
        out = BytesIO()
        picture.save(out, "JPEG", quality=quality, optimize=True)
        if out.tell() <= LARGEST_BYTES:
            break
    return out.getvalue()
