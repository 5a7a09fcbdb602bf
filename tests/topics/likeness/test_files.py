"""A still whose file is not what its row says is left out, is told once, and stops no other.

The likeness of the rest is that of a line without the still, to the last bit.
"""

from dataclasses import replace

import numpy as np
import pytest

from sixwright.kernel.intervals import Verdict
from sixwright.line.likeness import Placement
from sixwright.line.picture_files import PictureFile
from sixwright.reports.wording.words import say
from sixwright.topics.likeness import checks
from sixwright.topics.likeness.by_person import by_person
from sixwright.topics.likeness.compute import answer
from topics.likeness.truth import inputs_of, person, shots, sighted

SHA = "ab" * 32


def said(sentence):
    return say(sentence, "en-GB").replace("\N{NO-BREAK SPACE}", " ")


@pytest.fixture(scope="module")
def plain():
    """A sculpt that is the person, and six stills that name their files."""
    rng = np.random.Generator(np.random.Philox(3))
    who = person(rng)
    made = shots(rng, (0.0, 22.0, -28.0, 48.0, -62.0, 86.0), noise=0.4)
    rows = [row for shot in made for row in sighted(rng, shot, who, slip=0.0)]
    placed = [Placement("r1", *key, tuple(place / 6), 0.01) for key, place in who.items()]
    inputs = inputs_of(made, rows, placed)
    stills = {id_: replace(one, file=f"{id_}.png") for id_, one in inputs.stills.items()}
    return replace(inputs, stills=stills, pictures={
        one.file: PictureFile(SHA, int(one.width_px), int(one.height_px))
        for one in stills.values()
    })  # fmt: skip


def with_file(inputs, found, **row):
    """The first still with this file in its place, its row changed."""
    first = next(iter(inputs.stills))
    still = replace(inputs.stills[first], **row)
    files = dict(inputs.pictures) | {still.file: found}
    return first, replace(inputs, stills=inputs.stills | {first: still}, pictures=files)


def found_of(inputs):
    answered = answer(inputs)
    return answered, {finding.id: finding for finding in checks.findings(inputs, answered)}


def without(inputs, first):
    return replace(
        inputs,
        stills={id_: one for id_, one in inputs.stills.items() if id_ != first},
        sightings=tuple(row for row in inputs.sightings if row.still != first),
        outlines=tuple(row for row in inputs.outlines if row.still != first),
    )


def test_a_still_whose_file_is_as_its_row_says_holds_and_changes_nothing(plain):
    answered, found = found_of(plain)
    first = found["likeness.file:still/" + next(iter(plain.stills))]
    assert first.verdict is Verdict.HOLDS
    assert said(first.message).endswith("as its row says.")
    assert answered == answer(replace(plain, pictures={}))


FAULTS = {
    "missing": (
        PictureFile(is_there=False, fault="there is no file of that name in the folder"),
        Verdict.UNCHECKED,
        "there is no file of that name in the folder",
    ),
    "unopened": (PictureFile(fault="it is a pipe"), Verdict.UNCHECKED, "it is a pipe"),
    "no picture": (PictureFile(SHA, fault="it is empty"), Verdict.FAILS, "it is empty"),
    "another size": (PictureFile(SHA, 640, 480), Verdict.FAILS, "640 pixels wide and 480 high"),
}


@pytest.mark.parametrize("case", FAULTS)
def test_a_still_whose_file_cannot_be_used_is_left_out_and_stops_no_other(plain, case):
    file, verdict, words = FAULTS[case]
    first, inputs = with_file(plain, file)
    answered, found = found_of(inputs)
    told = found[f"likeness.file:still/{first}"]
    assert told.verdict is verdict
    assert words in said(told.message)
    assert "what only it shows is unchecked" in said(told.message)
    assert told.remedy is not None
    assert f"likeness.still:still/{first}" not in found  # one cause, said once
    (one,), (rest,) = answered.rounds, answer(without(plain, first)).rounds
    assert one.landmarks == rest.landmarks
    assert [still for still in one.stills if still.used] == list(rest.stills)
    assert next(still.reason for still in one.stills if still.id == first) == "file"


def test_where_no_file_is_there_nothing_is_judged(plain):
    gone = PictureFile(is_there=False, fault="there is no file of that name in the folder")
    inputs = replace(plain, pictures=dict.fromkeys(plain.pictures, gone))
    answered, _ = found_of(inputs)
    assert {mark.verdict for mark in answered.rounds[0].landmarks} == {Verdict.UNCHECKED}


def test_the_size_before_the_turn_is_told_as_such(plain):
    first = next(iter(plain.stills.values()))
    lying = PictureFile(SHA, int(first.height_px), int(first.width_px), is_turned=True)
    id_, inputs = with_file(plain, lying)
    told = checks.findings(inputs, answer(inputs))
    message = next(said(f.message) for f in told if f.id == f"likeness.file:still/{id_}")
    assert message.endswith("as it is before the turn that its EXIF data ask for.")


def test_a_row_without_its_size_is_offered_that_of_the_file(plain):
    id_, inputs = with_file(plain, PictureFile(SHA, 640, 480), width_px=None)
    _, found = found_of(inputs)
    told = found[f"likeness.file:still/{id_}"]
    assert told.verdict is Verdict.UNCHECKED
    assert told.seen.missing == (f"stills/{id_}/width_px", f"stills/{id_}/height_px")
    assert told.fix.cells == (("width_px", "640"), ("height_px", "480"))
    assert f"likeness.still:still/{id_}" not in found


def test_another_checksum_is_doubtful_and_the_still_is_used(plain):
    first = next(iter(plain.stills))
    id_, inputs = with_file(plain, plain.pictures[f"{first}.png"], sha256="cd" * 32)
    answered, found = found_of(inputs)
    told = found[f"likeness.file:still/{id_}"]
    assert told.verdict is Verdict.DOUBTFUL
    assert told.fix.cells == (("sha256", SHA),)
    assert answered.rounds[0].landmarks == answer(plain).rounds[0].landmarks


def test_a_still_that_names_no_file_is_taken_by_its_row(plain):
    id_, inputs = with_file(plain, PictureFile(SHA, 1, 1), file=None)
    answered, found = found_of(replace(inputs, pictures={}))
    assert f"likeness.file:still/{id_}" not in found
    assert all(still.used for still in answered.rounds[0].stills)


def test_a_person_rests_on_the_files_of_their_own_stills(plain):
    other = PictureFile(SHA, 5, 5)
    (part,) = by_person(replace(plain, pictures=dict(plain.pictures) | {"other.png": other}))
    assert part.pictures == plain.pictures
