"""Pictures as SVG: titled, described, with units, to scale."""

from xml.etree import ElementTree as ET

import pytest

from reports.lines import real_size, reviewed
from sixwright.kernel.pictures import (
    Arrow,
    Axis,
    Band,
    Bar,
    Chart,
    Drawing,
    Ellipse,
    Point,
    Polyline,
    Tone,
)
from sixwright.reports.document import Fold, Plate
from sixwright.reports.pages import documents
from sixwright.reports.svg.elements import INK
from sixwright.reports.svg.picture import svg

SVG = "{http://www.w3.org/2000/svg}"

CURVE = Chart(
    title="Profit <by> boxes",
    summary="Profit crosses nothing at 4 boxes & rises.",
    x=Axis("boxes", 0, 10, ((0, "0"), (10, "10"))),
    y=Axis("profit, USD", -100, 200, ((-100, "−100"), (0, "0"), (200, "200"))),
    marks=(
        Band(((0, -120, -80), (10, 150, 250))),
        Polyline(((0, -100), (10, 200)), Tone.INK, "profit"),
        Polyline(((0, 0), (10, 199)), Tone.SOFT, "other", dashed=True),
        Point(10, 200, Tone.TROUBLE, "orders assumed, and a long label at the very end"),
    ),
)
PIECE = Drawing(
    title="Base from above",
    summary="A magnet 3 mm from the edge.",
    low=(-50, -20),
    high=(50, 20),
    scale_bar_mm=10,
    marks=(
        Ellipse((0, 0), (20, 10), 0.3),
        Arrow((-40, 0), (40, 0), label="pull"),
        Polyline(((-50, -20), (50, 20)), label="edge"),
        Point(49, 19, label="magnet"),
    ),
)


def drawn(picture) -> ET.Element:
    return ET.fromstring(svg(picture, name="p", locale="de-DE"))  # noqa: S314 - our own text


def texts(element) -> list[str]:
    return [each.text for each in element.iter(f"{SVG}text")]


@pytest.mark.parametrize("picture", [CURVE, PIECE], ids=["chart", "drawing"])
def test_a_picture_says_what_it_shows_to_those_who_cannot_see_it(picture):
    root = drawn(picture)
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "p-t p-d"
    assert root.find(f"{SVG}title").text == picture.title
    assert root.find(f"{SVG}desc").text == picture.summary


def test_axes_state_what_they_count_in():
    assert {"boxes", "profit, USD", "profit", "other"} <= set(texts(drawn(CURVE)))


@pytest.mark.parametrize("picture", [CURVE, PIECE], ids=["chart", "drawing"])
def test_nothing_needs_a_style_attribute_or_a_script(picture):
    root = drawn(picture)
    assert [each for each in root.iter() if each.get("style")] == []
    assert {each.tag for each in root.iter()} & {f"{SVG}style", f"{SVG}script"} == set()


def test_the_scale_bar_is_as_long_as_it_says():
    """Measured on the drawing: the edge's two ends are 100 mm apart in x, the bar 10."""
    root = drawn(PIECE)
    edge = next(p for p in root.iter(f"{SVG}path") if p.get("class") == "line-ink").get("d")
    (x1, _), (x2, _) = (map(float, step.split(",")) for step in edge[1:].split("L"))
    bar = max(
        (line for line in root.iter(f"{SVG}line") if line.get("y1") == line.get("y2")),
        key=lambda line: float(line.get("y1")),
    )
    length = float(bar.get("x2")) - float(bar.get("x1"))
    assert length == pytest.approx((x2 - x1) * 10 / 100, abs=0.02)
    assert "10 mm" in texts(root)


def test_a_drawing_points_up():
    root = drawn(PIECE)
    circle = next(root.iter(f"{SVG}circle"))
    assert float(circle.get("cy")) < 60


def test_labels_at_the_ends_of_lines_do_not_lie_on_each_other():
    heights = [
        float(t.get("y")) for t in drawn(CURVE).iter(f"{SVG}text") if t.text in {"profit", "other"}
    ]
    assert abs(heights[0] - heights[1]) >= 14


def test_a_bar_is_as_long_as_its_share_of_the_axis():
    chart = Chart("t", "s", Axis("mm", 0, 4), rows=("a",), marks=(Bar(0, 1, 3, label="x"),))
    root = drawn(chart)
    axis = next(line for line in root.iter(f"{SVG}line") if line.get("stroke") == INK)
    bar = next(root.iter(f"{SVG}rect"))
    whole = float(axis.get("x2")) - float(axis.get("x1"))
    assert float(bar.get("width")) == pytest.approx(whole / 2, abs=0.02)


def pictures_of(blocks):
    for block in blocks:
        if isinstance(block, Plate):
            yield block.picture
        if isinstance(block, Fold):
            yield from pictures_of(block.blocks)


def test_no_text_of_the_topics_pictures_leaves_its_picture():
    pages = documents(reviewed(real_size(parts=12)))
    pictures = [picture for page in pages for picture in pictures_of(page.blocks)]
    assert len(pictures) >= 3
    for picture in pictures:
        root = drawn(picture)
        width = float(root.get("viewBox").split()[2])
        for each in root.iter(f"{SVG}text"):
            x, long = float(each.get("x")), len(each.text) * 6.0
            left = {"start": x, "middle": x - long / 2, "end": x - long}[each.get("text-anchor")]
            assert left >= -1, each.text
            assert left + long <= width + 1, each.text


def test_every_axis_of_the_topics_pictures_says_its_unit():
    pages = documents(reviewed(real_size(parts=12)))
    for picture in (each for page in pages for each in pictures_of(page.blocks)):
        assert picture.x.label in texts(drawn(picture))
        if picture.y is not None:
            assert picture.y.label in texts(drawn(picture))


def test_numbers_at_an_axis_follow_the_locale_and_words_stay():
    ticks = ((0, "0"), (1500, "1500"), (2500.5, "2500.5"), (3000, "3000 %"))
    root = drawn(Chart("t", "s", Axis("mm", 0, 3000, ticks), y=Axis("g", 0, 1)))
    assert {"1.500", "2.500,5", "3000 %"} <= set(texts(root))
