"""Where landmarks lie on a head of nobody, to draw by: the demo's invented face."""

from sixwright.line.likeness import Key

# Full size, mm, in the sculpt frame: `person("level")` of tools/demo_stills.py, and by eye the
# pupil, the back of the head and the nape.
_PLACES: dict[Key, tuple[float, float, float]] = {
    ("glabella", "mid"): (0.0, 17.0, 98.0),
    ("sellion", "mid"): (0.0, 5.0, 97.0),
    ("pronasale", "mid"): (0.0, -35.0, 120.0),
    ("subnasale", "mid"): (0.0, -48.0, 103.0),
    ("labiale-superius", "mid"): (0.0, -60.0, 106.0),
    ("stomion", "mid"): (0.0, -67.0, 102.0),
    ("labiale-inferius", "mid"): (0.0, -73.0, 104.0),
    ("sublabiale", "mid"): (0.0, -84.0, 95.5),
    ("pogonion", "mid"): (0.0, -98.0, 99.0),
    ("gnathion", "mid"): (0.0, -112.0, 91.0),
    ("trichion", "mid"): (0.0, 76.0, 86.0),
    ("vertex", "mid"): (0.0, 118.0, -10.0),
    ("opisthocranion", "mid"): (0.0, 20.0, -98.0),
    ("cervicale", "mid"): (0.0, -105.0, -62.0),
    ("endocanthion", "left"): (18.0, -1.0, 75.0),
    ("exocanthion", "left"): (46.0, 1.0, 74.0),
    ("pupil", "left"): (31.5, 0.0, 82.0),
    ("palpebrale-superius", "left"): (32.0, 4.0, 83.0),
    ("palpebrale-inferius", "left"): (31.9, -5.0, 83.0),
    ("alare", "left"): (17.0, -38.0, 100.0),
    ("cheilion", "left"): (24.2, -67.0, 83.0),
    ("tragion", "left"): (70.3, -12.0, 1.0),
    ("otobasion-inferius", "left"): (67.8, -38.0, -2.0),
    ("frontotemporale", "left"): (54.6, 26.0, 62.0),
    ("superciliare", "left"): (30.6, 20.0, 91.0),
    ("zygion", "left"): (69.3, -14.0, 20.0),
    ("gonion", "left"): (52.4, -78.0, 16.0),
}


def drawn_places() -> dict[Key, tuple[float, float, float]]:
    """Every built-in landmark with its side, mm at full size."""
    right = {
        (id_, "right"): (-x, y, z) for (id_, side), (x, y, z) in _PLACES.items() if side == "left"
    }
    return {**_PLACES, **right}
