"""The pictures of a head: twelve sides, and through the lens of each still."""

from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.line.shots import LensLayer, Shot, ThroughStill
from sixwright.reports.document import Block, Fold, Photo
from sixwright.topics.likeness.model import RoundAnswer
from sixwright.topics.likeness.shots import shots, unseen_side
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.workflows.reviewed import Review

SHOWN = 1  # stills whose picture is not folded away
LAYERS = ("still", "sculpt", "marks")  # from below to above
LENS_SIZE, SIDES_SIZE = (1248, 1408), (1224, 1066)
HOW = (
    "Rings are sightings, those struck through were left out; dots are the sculpt’s landmarks. "
    "Arrows point to where the person’s are and are three times as long as the move, violet where "
    "the sculpt is shown to be wrong. Combs run from the sculpt’s outline through those drawn on "
    "the still, three times as far. Bars are at 1:6, at the depth of the head’s middle."
)


def pictures(review: Review, one: RoundAnswer) -> tuple[Block, ...]:
    """Pictures of a round that has a mesh; none without."""
    inputs = review.inputs_of(LIKENESS)
    made = shots(inputs, review.of(LIKENESS)).get(one.round, ())
    photos = tuple(photo_of(one, shot) for shot in made)
    shown, folded = photos[: 1 + SHOWN], photos[1 + SHOWN :]
    if not folded:
        return shown
    values: dict[str, Value] = {
        "head": Name(one.name),
        "count": Count(len(folded), "more still", "more stills"),
    }
    summary = Sentence("{head} through the lens of {count}", values)
    return (*shown, Fold(summary, folded, f"lens-{one.sculpt}", to_work=True))


def shot_named(review: Review, name: str) -> Shot | None:
    """The picture of that name; None where there is none."""
    from sixwright.topics.likeness.ask_pictures import ask_shots

    answer = review.get(LIKENESS)
    if answer is None:
        return None
    inputs = review.inputs_of(LIKENESS)
    asked = ask_shots(inputs, answer).values() if inputs.asks else ()
    found: Shot | None = next((shot for shot in asked if shot.name == name), None)
    if found is not None:
        return found
    made = shots(inputs, answer)
    whole, _, part = name.partition(".")
    if part in LAYERS:
        through = next((s for each in made.values() for s in each if s.name == whole), None)
        return LensLayer(through, part) if isinstance(through, ThroughStill) else None
    if name.endswith("/unseen") and name.removesuffix("/unseen") in made:
        return unseen_side(inputs, answer, name.removesuffix("/unseen"))
    return next((shot for each in made.values() for shot in each if shot.name == name), None)


def photo_of(one: RoundAnswer, shot: Shot) -> Photo:
    """A picture as a block, with what it is called and shows."""
    if isinstance(shot, ThroughStill):
        asked = [mark for mark in shot.landmarks if mark.move_mm is not None]
        wrong = sum(mark.fails for mark in asked)
        return Photo(
            shot,
            f"{one.name}, through the lens of {shot.still}",
            f"The sculpt as {shot.still} sees it; its outline there with "
            f"{len(shot.sightings)} sightings and {len(asked)} corrections, {wrong} of them shown "
            f"to be needed{_drawn(shot)}; the sculpt through the same lens from 35 degrees and "
            "from the side.",
            HOW,
            *LENS_SIZE,
        )
    return Photo(
        shot,
        f"{one.name}, from twelve sides",
        "The sculpt as shaded clay from eight sides at the height of the eyes, three from above "
        "and one from below, all at one scale.",
        "A camera 2 m away at full size. Bars are at 1:6.",
        *SIDES_SIZE,
    )


def _drawn(shot: ThroughStill) -> str:
    """How many outlines were drawn there, in words; nothing where none was."""
    if not shot.traces:
        return ""
    wrong = sum(any(trace.wrong) for trace in shot.traces)
    return f", and with {len(shot.traces)} drawn outlines, {wrong} of them off the sculpt’s"
