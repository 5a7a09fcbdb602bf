"""Why something was not written, as it stands beside the field."""

import pytest

from sixwright.kernel.errors import ChangeError
from sixwright.project.apply import apply
from sixwright.project.records import Change, Record
from sixwright.reports.wording.refusals import refusal
from topics.builders import project, sold


def two_boxes():
    orders = {id_: Record("orders", id_, {"sells": id_, "quantity": ""}) for id_ in ("box", "pack")}
    return project(
        parts=[],
        sells=[sold("box"), sold("pack")],
        held={},
        orders={},
        records={"orders": orders},
    )


@pytest.mark.parametrize(
    "change",
    [
        Change("orders", "box", "sells", value="pack", was="box"),
        Change("orders", "pack", add={"sells": "pack", "quantity": "3"}),
    ],
    ids=["turned into it", "added"],
)
def test_a_row_that_is_there_is_said_to_be_there(change):
    line = two_boxes()
    with pytest.raises(ChangeError) as caught:
        apply(line, [change])
    assert refusal(caught.value, line.records) == "There is a row of “pack” already."
