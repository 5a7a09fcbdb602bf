"""A folder of meshes and stills is chosen as a whole; what is neither stays where it is."""

import shutil

import pytest

from architecture.reading import ROOT
from line.heads import plain_head
from storage.meshes.made import stl
from storage.small_line import small_line
from web.test_marking import running
from web.test_pages import barriers

pytestmark = pytest.mark.browser
STILLS = ROOT / "examples/sluice-keeper/stills"


@pytest.fixture
def chosen(tmp_path):
    """A folder as a sculptor sends it: a mesh, two stills in a folder of their own, a note."""
    made = tmp_path / "from the sculptor"
    (made / "reference").mkdir(parents=True)
    (made / "calm.stl").write_bytes(stl(plain_head()))
    for name in ("s01-quay.jpg", "s03-window.jpg"):
        shutil.copy(STILLS / name, made / "reference" / name)
    (made / "read me.txt").write_text("Second round follows.", encoding="utf-8")
    return made


def test_meshes_and_stills_of_a_folder_come_and_the_rest_is_counted(page_of, chosen, tmp_path):
    line = small_line(tmp_path / "line")
    with running(line) as (_, address):
        page = page_of(f"{address}/sculpts", width=1280)
        assert barriers(page) == []
        page.get_by_label("Or choose a folder of them:").set_input_files(chosen)
        page.get_by_text("1 other file in that folder is no mesh and no picture").wait_for()
        said = page.locator("#told").inner_text()
        assert "2 stills were brought in." in said
        assert "calm.stl has come." in said
        page.close()
    assert sorted(each.name for each in (line / "stills").iterdir()) == [
        "s01-quay.jpg", "s03-window.jpg"]  # fmt: skip
    assert (chosen / "read me.txt").exists()


def test_a_folder_without_any_says_so(page_of, tmp_path):
    line = small_line(tmp_path / "line")
    made = tmp_path / "notes"
    made.mkdir()
    (made / "a.txt").write_text("a", encoding="utf-8")
    (made / "b.txt").write_text("b", encoding="utf-8")
    with running(line) as (_, address):
        page = page_of(f"{address}/stills", width=1280)
        page.get_by_label("Or choose a folder of them:").set_input_files(made)
        page.get_by_text("2 other files in that folder are no mesh and no picture").wait_for()
        page.close()
    assert not (line / "stills").exists()
