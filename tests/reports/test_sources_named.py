"""What a rule rests on is named as a reader knows it: by title, and by no path of a file."""

import pkgutil
import re
from importlib import import_module

import pytest

import sixwright
from sixwright.kernel.sources import Source
from sixwright.reports.manual import manual_names


def sources() -> dict[str, Source]:
    found = {}
    for module in pkgutil.walk_packages(sixwright.__path__, "sixwright."):
        if module.name.rpartition(".")[2] == "__main__":
            continue
        for name, value in vars(import_module(module.name)).items():
            each = value if isinstance(value, tuple) else (value,)
            found |= {f"{module.name}.{name}": one for one in each if isinstance(one, Source)}
    return found


SOURCES = sources()


def test_there_are_sources_of_every_kind():
    assert len({source.key for source in SOURCES.values()}) >= 30


@pytest.mark.parametrize("name", sorted(SOURCES))
def test_no_source_names_a_file(name):
    source = SOURCES[name]
    said = f"{source.title} {source.locator} {source.note}"
    assert not re.search(r"docs/|\.md\b|\.py\b", said), said


def test_what_a_source_quotes_of_the_manual_is_a_title_there():
    titles = set(manual_names().values())
    pattern = re.compile(r"“([^”]+)” in (?:the|sixwright’s) manual")
    quoted = {title for one in SOURCES.values() for title in pattern.findall(one.title)}
    assert len(quoted) >= 5
    known = titles | {re.sub(r"^\d{4} ", "", title) for title in titles}
    assert quoted <= known, quoted - known
