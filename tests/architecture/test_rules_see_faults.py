"""The patterns of test_committed find what they look for."""

import pytest

from architecture.test_committed import MACHINE, REGISTRIES


# In pieces, so that this file is not itself a finding.
@pytest.mark.parametrize(
    "pieces",
    [
        ("see /wo", "rk/main"),
        ("'/ro", "ot/x'"),
        ("/tm", "p/mine"),
        ("(/ho", "me/someone/line)"),
        ("C:\\\\Us", "ers"),
    ],
)
def test_a_path_of_a_machine_is_seen(pieces):
    assert MACHINE.search("".join(pieces))


@pytest.mark.parametrize("text", ["frame/work/shape", "../work/a", "docs/homework/x", "/roots"])
def test_other_paths_are_not(text):
    assert not MACHINE.search(text)


def test_a_registry_is_seen():
    assert REGISTRIES.search("https://files." + "pythonhosted" + ".org/packages")
