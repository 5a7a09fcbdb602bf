"""What a row is called, in words that a producer would use."""

import pytest

from sixwright.project.names import row_name
from sixwright.project.records import Record


@pytest.mark.parametrize(
    ("table", "id_", "called"),
    [
        ("sightings", "quay/exocanthion/left", "left outer eye corner in quay"),
        ("landmarks", "calm-1/gnathion/mid", "under the chin on calm-1"),
        ("landmarks", "calm-1/scar/right", "right scar on calm-1"),
        ("sightings", "quay/unheard-of/mid", "unheard-of in quay"),
    ],
)
def test_a_landmark_is_called_by_its_plain_name(table, id_, called):
    terms = {"scar": Record("terms", "scar", {"id": "scar", "name": "scar"})}
    assert row_name({"terms": terms}, table, id_) == called
