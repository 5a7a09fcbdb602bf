"""Draw the landmarks of a head from the front and the side, and write their table.

    python tools/landmark_drawings.py

Writes docs/pictures/landmarks-front.svg, docs/pictures/landmarks-side.svg and
docs/likeness-landmarks.md from the list in sixwright.line.landmarks. The face is the demo's
invented one.
"""

import sys
from pathlib import Path

from sixwright.kernel.pictures import Drawing, Point, Polyline, Tone
from sixwright.line.landmarks import LANDMARKS
from sixwright.reports.svg.drawing import drawing
from sixwright.topics.likeness.pictures import CHAINS

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tools"))
# Full-size mm, of what the demo's heads do not carry.
MORE = {
    ("opisthocranion", "mid"): (0.0, 20.0, -98.0),
    ("cervicale", "mid"): (0.0, -105.0, -62.0),
    ("pupil", "left"): (31.5, 0.0, 82.0),
    ("pupil", "right"): (-31.5, 0.0, 82.0),
}
HIDDEN_FROM_FRONT = {"opisthocranion", "cervicale"}
HEAD = """# The landmarks of a head

Their ids are anthropometric terms; the words beside them are what the pages say. Of a pair, `left`
and `right` are the figure's own. Numbers are those of the drawings; a pair is numbered on the
figure's left, which is on the right of the drawing. Written, as the drawings are, by
`tools/landmark_drawings.py`.

![The landmarks from the front](pictures/landmarks-front.svg)

![The landmarks from the figure's left](pictures/landmarks-side.svg)

- **rigid**: it belongs to the skull, and no expression moves it; one place in all stills of a
  person. **mobile**: a place of its own in each expression.
- **point**: a place on the skin. **contour**: the edge of the head as a still shows it, other flesh
  in each view; it only says how far the edge lies from here, across it.
- **spread**: how far apart careful people mark it, standard deviation along the surface, mm at full
  size. Own choice, no source: 1 for crisp ones, 1.5 for middling, 3 for soft ones. `terms.csv` sets
  another, and adds landmarks of the line's own.

| | id | in plain words | sides | rigid | contour | spread | where it lies |
|---|---|---|---|---|---|---|---|
"""


def places() -> dict[tuple[str, str], tuple[float, float, float]]:
    """Every landmark's place on the demo's face, full-size mm."""
    from demo_stills import person

    found = {key: tuple(float(v) for v in place) for key, place in person("level").items()}
    return {**found, **MORE}


def draw(name: str, axes: tuple[int, int], side: bool) -> None:  # noqa: FBT001
    """One view with its numbers."""
    at = {key: (place[axes[0]], place[axes[1]]) for key, place in places().items()}
    shown = {
        key: place
        for key, place in at.items()
        if not (side and key[1] == "right") and (side or key[0] not in HIDDEN_FROM_FRONT)
    }
    marks: list[Polyline | Point] = [
        Polyline(tuple(shown[key] for key in chain), Tone.FAINT, width=1.5)
        for chain in CHAINS
        if all(key in shown for key in chain)
    ]
    for number, id_ in enumerate(LANDMARKS, start=1):
        for key, place in shown.items():
            if key[0] == id_:
                label = "" if key[1] == "right" else str(number)
                marks.append(Point(*place, label=label, radius=2.5))
    wide, high = [p[0] for p in shown.values()], [p[1] for p in shown.values()]
    picture = Drawing(
        title=f"The landmarks from the {'left' if side else 'front'}",
        summary="Numbered landmarks of a head.",
        low=(min(wide) - 15, min(high) - 15),
        high=(max(wide) + 15, max(high) + 15),
        scale_bar_mm=20.0,
        marks=tuple(marks),
    )
    width, height, elements = drawing(picture, "en-GB")
    (ROOT / "docs" / "pictures" / name).write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'role="img" font-family="sans-serif" font-size="13"><title>{picture.title}</title>'
        f'<rect width="100%" height="100%" fill="#faf6ec"/>{"".join(elements)}</svg>\n',
        encoding="utf-8",
    )


def main() -> None:
    """Draw both views and write the table."""
    draw("landmarks-front.svg", (0, 1), side=False)
    draw("landmarks-side.svg", (2, 1), side=True)
    rows = [
        f"| {number} | `{id_}` | {mark.term.name} | {'pair' if mark.paired else 'middle'} | "
        f"{'rigid' if mark.term.rigid else 'mobile'} | "
        f"{'contour' if mark.term.contour else 'point'} | {mark.term.sd_mm:g} | {mark.meaning} |"
        for number, (id_, mark) in enumerate(LANDMARKS.items(), start=1)
    ]
    path = ROOT / "docs" / "likeness-landmarks.md"
    path.write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
