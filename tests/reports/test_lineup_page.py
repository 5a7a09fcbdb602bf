"""What the page of boxes says of a box of which no rule says anything."""

from dataclasses import replace

from sixwright.reports.document import Table
from sixwright.reports.pages import document
from sixwright.workflows.review import review
from topics.builders import TODAY, bolts, part, project, sold


def fits(line):
    """Box to what stands in its column under “Does it fit together?”."""
    table = next(b for b in document(review(line, today=TODAY), "lineup").blocks
                 if isinstance(b, Table) and b.rows)  # fmt: skip
    row = next(row for row in table.rows if row.cells[0].value == "Does it fit together?")
    return dict(zip(line.sells, (cell.value for cell in row.cells[1:]), strict=False))


def test_a_pack_of_heads_has_nothing_to_judge_and_waits_for_nothing():
    line = project(
        parts=[part("body", kind="body"), part("head", kind="head"), part("rag")],
        sells=[sold("figure"), replace(sold("pack"), figures=0), sold("rags")],
        held={"figure": {"body": 1, "head": 1}, "pack": {"head": 1}, "rags": {"rag": 1}},
        orders={"figure": 100, "pack": 100, "rags": 100},
        rules=bolts().money,
    )
    assert fits(line) == {
        "figure": "unchecked",
        "pack": "nothing to judge",
        "rags": "nothing to judge",
    }
