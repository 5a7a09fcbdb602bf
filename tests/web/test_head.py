"""The page of one head, in a real browser: over its stills, from the unseen side, in space."""

import io
import re
from shutil import copytree

import numpy as np
import pytest
from PIL import Image

from web.test_pages import barriers
from web.test_photos import ROUND, client, folder  # noqa: F401 - the fixtures of a head with a mesh
from web.test_sculpt import SOFTWARE

AT = "/likeness/m1-level"


def layers(client):  # noqa: F811 - the fixture
    page = client.get(AT).text
    return re.search(r'data-layers="([^"]+)"', page)[1].split()


def test_the_first_line_is_what_the_stills_can_show(client):  # noqa: F811
    page = client.get(AT).text
    at_best = page.index("these stills would reveal")
    assert at_best < page.index('class="answer"') < page.index("data-lens")
    assert "The side that no still shows: from 90° to its" in page
    assert page.count("data-move") >= 1
    assert client.get("/likeness/nobody").status_code == 404


def test_layers_fit_on_each_other_and_let_the_still_shine_through(client):  # noqa: F811
    still, sculpt, marks = (
        Image.open(io.BytesIO(client.get(each).content)) for each in layers(client)
    )
    assert still.size == sculpt.size == marks.size
    assert (still.format, sculpt.format, marks.format) == ("JPEG", "PNG", "PNG")
    for layer, low, high in ((sculpt, 0.2, 0.8), (marks, 0.005, 0.2)):
        share = np.asarray(layer)[..., 3] / 255
        assert share.max() == 1
        assert low < share.mean() < high
    covered = np.asarray(sculpt)[..., 3] > 250
    edges = np.asarray(marks)[..., 3] > 250
    # The outline lies where the sculpt ends: near it both covered and bare pixels are found.
    rows, columns = np.nonzero(edges[5:-120, 5:-5])
    near = [covered[r : r + 10, c : c + 10] for r, c in zip(rows[::97], columns[::97], strict=True)]
    assert np.mean([0 < patch.mean() < 1 for patch in near]) > 0.2


def test_the_unseen_side_is_far_from_every_still(client):  # noqa: F811
    page = client.get(AT).text
    apart = int(re.search(r"taken (\d+)° from there", page)[1])
    assert apart >= 15
    name = f"/pictures/{ROUND}/unseen"
    assert Image.open(io.BytesIO(client.get(name).content)).format == "JPEG"


@pytest.mark.parametrize("name", ["s01-quay.sky", "nobody.still", "sides.still"])
def test_no_other_layer_is_to_be_had(client, name):  # noqa: F811
    assert client.get(f"/pictures/{ROUND}/{name}").status_code == 404


def test_keys_swap_fade_and_choose_and_nothing_bars_the_way(page_of, served, folder, tmp_path):  # noqa: F811
    page = page_of(f"{served(folder)}{AT}", width=1280)
    page.foreseen = SOFTWARE
    page.locator('[data-shown="space"]').wait_for()
    for part in ("still", "sculpt", "marks"):
        page.locator(f'[data-layer="{part}"]').evaluate("image => image.decode()")
    assert page.locator("[data-lens-told]").inner_text() == ""
    assert barriers(page) == []
    page.screenshot(path=str(tmp_path / "head.png"))
    sculpt = page.locator('[data-layer="sculpt"]')
    opacity = "image => image.style.opacity"
    page.locator("[data-lens-field]").focus()
    assert sculpt.evaluate(opacity) == "0.55"
    page.keyboard.press("s")
    assert sculpt.evaluate(opacity) == "0"
    page.keyboard.press("s")
    assert sculpt.evaluate(opacity) == "1"
    page.keyboard.press("ArrowLeft")
    assert sculpt.evaluate(opacity) == "0.9"
    page.keyboard.press("o")
    assert not page.locator('[data-layer="marks"]').is_visible()
    first = sculpt.get_attribute("src")
    page.keyboard.press("ArrowDown")
    assert sculpt.get_attribute("src") != first
    page.locator("[data-lens-still]").first.click()
    assert sculpt.get_attribute("src") == first
    page.set_viewport_size({"width": 390, "height": 860})
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    assert barriers(page) == []


def test_the_still_with_the_most_marks_is_shown_first_whatever_its_name(
    page_of,
    served,
    folder,  # noqa: F811
    tmp_path,
):
    line = copytree(folder, tmp_path / "line")
    rows = (line / "sightings.csv").read_text("utf-8").splitlines(keepends=True)
    first = [row for row in rows if row.startswith("s01-quay,")]
    dropped = set(first[10:])
    (line / "sightings.csv").write_text("".join(row for row in rows if row not in dropped), "utf-8")
    page = page_of(f"{served(line)}{AT}", width=1280)
    page.foreseen = SOFTWARE
    page.locator("[data-lens-still]").first.wait_for()
    shown = page.locator("[data-lens-still]").all()
    names = [each.get_attribute("data-lens-still") for each in shown]
    counts = dict(zip(names, (each.inner_text() for each in shown), strict=True))
    kept = {}
    for name, words in counts.items():
        marks, *left = map(int, re.findall(r"(\d+) (?:landmark|left)", words))
        kept[name] = marks - sum(left)
    level = [name for name in names if name < "s07"]  # the stills of this expression
    assert names[: len(level)] == level
    assert [kept[name] for name in level] == sorted((kept[name] for name in level), reverse=True)
    assert names[0] != "s01-quay"
    assert (
        page.locator("[data-lens-still][aria-current]").get_attribute("data-lens-still") == names[0]
    )
