"""docs/threats.md states the bounds of a request as the code has them."""

from architecture.reading import ROOT
from sixwright.kernel.ticks import MOST_TICKS
from sixwright.web import arrivals, connections, guard

PAGE = (ROOT / "docs" / "threats.md").read_text(encoding="utf-8")


def test_the_bounds_of_a_request_are_as_stated():
    assert (
        f"{connections.HEAD_S:.0f} seconds for its head and {guard.BODY_S:.0f} for its body "
        f"(a spreadsheet or a still: {guard.FILE_S:.0f}; a mesh: {guard.MESH_S:.0f}), "
        f"and {guard.MOST_BYTES:,} bytes "
        f"(what is tried: {guard.MOST_TRIED_BYTES:,}; "
        f"a spreadsheet: {guard.MOST_SHEET_BYTES // 10**6} MB; "
        f"a still: {guard.MOST_FILE_MB} MB; a mesh: {guard.MOST_SIZE}, "
        "which goes to the disk as it comes)"
    ) in PAGE
    assert f"Of {connections.MOST_CONNECTIONS} connections" in PAGE
    assert "At most eight meshes wait" in PAGE
    assert arrivals.MOST == 8
    assert MOST_TICKS == 12
    assert "at most twelve labelled values" in PAGE


def test_the_readme_leads_to_it_and_says_the_same_of_accounts_and_strangers():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "(docs/threats.md)" in readme
    assert "no accounts" in readme
    assert "There are no accounts" in PAGE
    assert "can name nothing outside itself" in readme
    assert "Nothing in a folder names what lies outside it" in PAGE
