"""A still that is put into the folder, changed or taken away is seen by the pages at once."""

import pytest
from PIL import Image

from sixwright.storage.folder import read
from sixwright.web.app import make_app
from storage.small_line import small_line
from web.asking import Client, clock

LEFT_OUT = "what only it shows is unchecked"


@pytest.fixture
def line(tmp_path):
    made = small_line(tmp_path / "line")
    (made / "stills").mkdir()
    (made / "stills.csv").write_text(
        "id,file,width_px,height_px\nquay,stills/quay.png,120,80\ngate,stills/gate.png,120,80\n"
    )
    Image.new("RGB", (120, 80)).save(made / "stills/gate.png")
    return made


def test_a_still_that_comes_late_and_is_exchanged_is_looked_at_again(line):
    client = Client(make_app(line, clock))
    page = client.get("/likeness").text
    assert page.count(LEFT_OUT) == 1
    assert "there is no file of that name in the folder" in page
    Image.new("RGB", (120, 80)).save(line / "stills/quay.png")
    assert LEFT_OUT not in client.get("/likeness").text
    Image.new("RGB", (60, 40)).save(line / "stills/quay.png")
    assert "60 pixels wide and 40 high" in client.get("/likeness").text.replace("<b>", "")
    (line / "stills/quay.png").unlink()
    assert "there is no file of that name in the folder" in client.get("/likeness").text
    for path in ("/", "/money", "/report/report.html"):
        assert client.get(path).status_code == 200


def test_a_row_that_is_pointed_at_another_file_is_tried_and_written(line):
    client = Client(make_app(line, clock, who="Ines"))
    answer = client.edit(
        "stills", "quay", "file", "stills/quay.png", "stills/gate.png", page="/likeness"
    )
    assert (answer.status_code, answer.json()["kind"]) == (200, "written")
    assert LEFT_OUT not in client.get("/likeness").text
    assert set(read(line).project.pictures) == {"stills/gate.png"}
