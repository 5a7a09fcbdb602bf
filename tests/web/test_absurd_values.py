"""One absurd value in a line takes neither memory nor a page (faults.md 3).

Each value is one that can be typed; each took gigabytes, or the page, before it was bounded.
"""

import csv
import tracemalloc

import pytest

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.web.app import make_app
from web.asking import Client, clock

PAGES = ("/", "/lineup", "/money", "/care", "/choices", "/dates", "/tables/parts")
MOST_BYTES = 300_000  # an ordinary page of this line has 70,000
MOST_MEMORY = 32 * 2**20
LARGEST, SMALLEST = "9" * 15, "0.000000000001"

OF_LINE = {
    "a price of one cent": ('price = "420 USD"', 'price = "0.01 USD"'),
    "the smallest price": ('price = "420 USD"', f'price = "{SMALLEST} USD"'),
    "the largest price": ('price = "420 USD"', f'price = "{LARGEST} USD"'),
    "a rate of almost nothing": ("per_unit = 7.2", "per_unit = 0.0001"),
    "the smallest rate": ("per_unit = 7.2", "per_unit = 0.000000000001"),
    "the largest rate": ("per_unit = 7.2", f"per_unit = {LARGEST}"),
    "the largest development": ('"21200 USD"', f'"{LARGEST} USD"'),
    "the largest spares": ("spares = 0.03", "spares = 0.999999999999"),
    "a promise of very many": ("quantity = 9", "quantity = 999999999"),
    "very many figures": ("figures = 1", "figures = 999999999"),
    "a box of kilometres": ("[352, 257, 90]", "[352000000, 257000000, 90000000]"),
}
IN_CELLS = {
    "very many boxes ordered": ("orders", "quantity", "999999999"),
    "very many of a part in a box": ("contents", "quantity", "999999999"),
    "the largest tooling": ("ways", "tooling", LARGEST),
    "the largest minimum": ("ways", "minimum", "999999999"),
    "the smallest yield": ("ways", "yield", SMALLEST),
    "the largest minutes": ("ways", "minutes", LARGEST),
    "a quote for very many": ("prices", "from_quantity", "999999999"),
    "the largest unit price": ("prices", "unit_price", LARGEST),
    "the smallest unit price": ("prices", "unit_price", SMALLEST),
    "a quote that stands for ever": ("ways", "valid_until", "9999-12-31"),
    "a quote of the year 1": ("ways", "valid_until", "0001-01-01"),
}


@pytest.fixture(scope="module", autouse=True)
def ordinary(tmp_path_factory):
    """The pages once, of an ordinary line: what is loaded for them is not what is measured."""
    folder = tmp_path_factory.mktemp("ordinary") / "flood"
    check(write_folder(real_size(parts=14, boxes=3), folder), most=2**30)


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


@pytest.mark.parametrize("what", OF_LINE)
def test_an_absurd_value_in_the_line_is_bounded(folder, what):
    old, new = OF_LINE[what]
    text = (folder / "line.toml").read_text(encoding="utf-8")
    assert old in text
    (folder / "line.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    check(folder)


@pytest.mark.parametrize("what", IN_CELLS)
def test_an_absurd_value_in_a_table_is_bounded(folder, what):
    table, column, value = IN_CELLS[what]
    path = folder / f"{table}.csv"
    with path.open(newline="", encoding="utf-8") as file:
        head, first, *rest = csv.reader(file)
    first[head.index(column)] = value
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([head, first, *rest])
    check(folder)


def check(folder, *, most=MOST_MEMORY):
    client = Client(make_app(folder, clock))
    tracemalloc.start()
    try:
        answers = {page: client.get(page) for page in PAGES}
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert peak < most
    for page, answer in answers.items():
        assert answer.status_code == 200, page
        assert len(answer.content) < MOST_BYTES, page
    assert "in sixwright itself" not in answers["/"].text
