"""What outlines add on hidden truths; docs/likeness-outlines.md has the same over more heads."""

import pytest

from topics.likeness.outline_numbers import by_table_and_mesh, compared


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_outlines_name_and_hold_more_and_their_intervals_hold_the_truth():
    bare, drawn = (told.shares() for told in compared(range(15)))
    assert drawn["named"] > bare["named"]
    assert drawn["held"] > bare["held"] + 0.02
    assert drawn["rms"] < bare["rms"]
    assert 0.92 <= drawn["coverage"] <= 0.98
    assert drawn["false_holds"] <= 0.02 * drawn["all_holds"]
    assert drawn["false_fails"] <= 0.05 * drawn["all_fails"]


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_a_slack_hand_is_not_believed_more_than_it_says():
    """Drawn twice as badly as is usual, and stated so: nothing is claimed that is not so."""
    _, drawn = compared(range(5), alike=1.0, wander=1.4, hand=0.8, said=2.0)
    told = drawn.shares()
    assert 0.90 <= told["coverage"] <= 0.99
    assert told["false_holds"] <= 1


@pytest.mark.slow
@pytest.mark.timeout(3600)
def test_directions_from_the_mesh_do_no_worse_than_the_tables():
    """docs/likeness-table.md was made with the table's, for its heads have no mesh."""
    table, meshed = (told.shares() for told in by_table_and_mesh(range(10)))
    assert meshed["held"] > table["held"] - 0.03
    assert meshed["named"] > table["named"] - 0.05
    assert meshed["rms"] < 1.05 * table["rms"]
    assert meshed["false_holds"] <= table["false_holds"] + 1
