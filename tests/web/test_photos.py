"""Pictures of a head that has a mesh: at addresses of their own, in the report, in its PDF."""

import io
import re
from dataclasses import replace
from hashlib import sha256
from shutil import copytree

import pytest
from PIL import Image
from pypdf import PdfReader

from architecture.reading import ROOT
from line.heads import plain_head
from sixwright.line.meshes import MeshRef
from sixwright.line.shots import TwelveSides
from sixwright.reports.html import report_html
from sixwright.reports.paper.report import report_pdf
from sixwright.reports.raster.shots import drawn
from sixwright.storage.folder import read
from sixwright.storage.shots import Pictures
from sixwright.storage.tools import tools_for
from sixwright.web.app import make_app
from sixwright.workflows.review import review
from storage.meshes import made
from web.asking import Client, clock

ROUND = "m1-level-2"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    line = copytree(ROOT / "examples/sluice-keeper", tmp_path_factory.mktemp("photos") / "keeper")
    head = plain_head()
    (line / "heads").mkdir()
    (line / "heads/level-2.stl").write_bytes(made.stl(head))
    rows = (line / "rounds.csv").read_text()
    row = next(each for each in rows.splitlines() if each.startswith(f"{ROUND},"))
    cells = row.split(",")
    cells[4:9] = ["heads/level-2.stl", "", "mm", "+y", "+z"]
    (line / "rounds.csv").write_text(rows.replace(row, ",".join(cells)))
    return line


@pytest.fixture(scope="module")
def client(folder):
    return Client(make_app(folder, clock))


@pytest.fixture(scope="module")
def page(client):
    return client.get("/likeness").text


def addresses(page):
    return re.findall(r'<img class="picture" src="(/pictures/[^"]+)"', page)


def test_a_head_with_a_mesh_is_shown_from_twelve_sides_and_through_every_still(page):
    found = addresses(page)
    assert [each.partition("?")[0] for each in found][:1] == [f"/pictures/{ROUND}/sides"]
    assert len(found) > 5
    assert all(each.startswith(f"/pictures/{ROUND}/") for each in found)
    assert page.count('loading="lazy"') == len(found)


def test_its_file_is_in_the_table_with_how_it_was_read(page):
    assert "heads/level-2.stl" in page
    assert "Sculpt files" in page
    assert "they belong to another file" in page  # a plain head, not the keeper's


def test_a_picture_comes_and_the_second_time_is_not_sent_again(client, page):
    first = client.get(addresses(page)[1])
    assert first.headers["content-type"] == "image/jpeg"
    assert Image.open(io.BytesIO(first.content)).size == (1248, 1408)
    again = client.get(addresses(page)[1], **{"if-none-match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize("name", [f"{ROUND}/none", "m1-level-1/sides", "..%2f../line.toml"])
def test_no_other_picture_is_to_be_had(client, name):
    assert client.get(f"/pictures/{name}").status_code == 404


def test_the_report_and_its_pdf_hold_the_first_pictures(folder):
    project, tools = read(folder).project, tools_for(folder)
    judged = review(project, today=clock().date(), only=("likeness", "lineup"), tools=tools)
    photos = Pictures(folder, drawn)
    html = report_html(judged, folder="keeper", inputs={}, photos=photos)
    assert html.count('src="data:image/jpeg;base64,') == 2
    bare = report_html(judged, folder="keeper", inputs={})
    assert "data:image/jpeg" not in bare
    pdf = report_pdf(judged, folder="keeper", inputs={}, photos=photos)
    assert pdf.standards
    sizes = {
        image.image.size for sheet in PdfReader(io.BytesIO(pdf.content)).pages
        for image in sheet.images
    }  # fmt: skip
    assert {(1248, 1408), (1224, 1066)} <= sizes


def test_a_picture_is_drawn_once_and_only_of_the_file_that_was_judged(
    folder, monkeypatch, tmp_path
):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path))
    told = []

    def draw(shot, model, still):
        told.append(len(model.tree.mesh.faces))
        return b"a picture"

    draw.__module__ = drawn.__module__
    content = (folder / "heads/level-2.stl").read_bytes()
    ref = MeshRef("heads/level-2.stl", unit="mm", up="+y", front="+z")
    shot = TwelveSides(ROUND, ref, sha256(content).hexdigest())
    assert [Pictures(folder, draw)(shot) for _ in range(2)] == [b"a picture"] * 2
    assert told == [len(plain_head().faces)]
    assert Pictures(folder, draw)(TwelveSides(ROUND, ref, "0" * 64)) is None
    assert Pictures(folder, draw)(replace(shot, mesh=replace(ref, path="gone.stl"))) is None


def test_another_still_of_that_name_is_another_picture(folder, client, page):
    before = client.get(addresses(page)[1]).headers["etag"]
    still = re.search(rf"/{ROUND}/([a-z0-9-]+)", addresses(page)[1])[1]
    file = folder / f"stills/{still}.jpg"
    content = file.read_bytes()
    with Image.open(io.BytesIO(content)) as before_it:
        Image.new("RGB", before_it.size, "white").save(file)
    assert client.get(addresses(page)[1]).headers["etag"] != before
    file.write_bytes(content)


def test_a_mesh_that_goes_is_missed_on_the_next_look(folder, client):
    file = folder / "heads/level-2.stl"
    aside = file.rename(file.with_suffix(".aside"))
    page = client.get("/likeness").text
    assert "heads/level-2.stl, is not in the folder." in page.replace("</b>", "").replace("<b>", "")
    assert addresses(page) == []
    aside.rename(file)
    assert addresses(client.get("/likeness").text)
