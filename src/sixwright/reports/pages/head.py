"""The page of one head: what its stills can show, the sculpt over them, and from all sides."""

from collections.abc import Iterator

from sixwright.kernel.sentences import Count, Name, Sentence
from sixwright.line.shots import LensLayer, ThroughStill, TwelveSides, UnseenSide
from sixwright.project.model import Project
from sixwright.reports.document import (
    Answer,
    Block,
    Document,
    Link,
    Paragraph,
)
from sixwright.reports.pages.asks import asked_table, to_sculptor
from sixwright.reports.pages.likeness import counts
from sixwright.reports.pages.likeness_pictures import LAYERS, photo_of
from sixwright.reports.pages.likeness_tables import WHY_NOT, features, landmarks, rounds, views
from sixwright.reports.pages.sculpt import ref_of, version_of
from sixwright.reports.pages.topic import of_topic
from sixwright.reports.placing import LensStill, LensView, Move, Turning
from sixwright.reports.raster.shots import LARGE
from sixwright.topics.likeness.asks import ask_sentence
from sixwright.topics.likeness.model import RoundAnswer, StillAnswer
from sixwright.topics.likeness.shots import moves_of, shots, unseen_side
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.workflows.reviewed import Review

ALL = Link("likeness", "", "All heads")
STILLS = Link("stills", "", "The stills")


def latest_of(review: Review, sculpt: str) -> RoundAnswer | None:
    """The round of a head that is judged; None where none is."""
    answer = review.get(LIKENESS)
    rounds_ = () if answer is None else answer.rounds
    return next((one for one in rounds_ if one.sculpt == sculpt and one.latest), None)


def head_page(review: Review, sculpt: str) -> Document:
    """One head, in the order in which a producer asks: how sure, what, where, and what next."""
    project, one = review.project, latest_of(review, sculpt)
    question = f"Does {sculpt} look right from every side?"
    if one is None:
        told = Sentence("No round of it has landmarks yet, so nothing can be said.")
        blocks: tuple[Block, ...] = (Answer(None, (told,)), Paragraph((), (ALL,)))
        return Document(LIKENESS.id, question, blocks, project.locale)
    findings = of_topic(review, "likeness")
    at_best = [f.message for f in findings if f.rule == "visibility" and f.subject.id == one.round]
    shown: list[Block] = [Paragraph(tuple(at_best)), Answer(None, tuple(_answer(one)))]
    shown += _seen(review, one)
    if one.features:
        shown.append(features(one))
    if one.landmarks:
        shown += (landmarks(one, findings), to_sculptor(one))
    was_asked = asked_table(review, one.sculpt)
    shown += [was_asked] if was_asked is not None else []
    heads = review.of(LIKENESS)
    before = [o for o in heads.rounds if o.sculpt == one.sculpt and o.round != one.round]
    table = rounds([*before, one], one.name) if before else None
    shown += [table] if table is not None else []
    shown += [views(one, one.name)] if one.next_views else []
    shown.append(Paragraph((), (ALL, STILLS, Link(f"sculpts/{one.round}", "", "Its landmarks"))))
    return Document(LIKENESS.id, question, tuple(shown), project.locale)


def _answer(one: RoundAnswer) -> Iterator[Sentence]:
    ask = ask_sentence(one)
    if ask is not None:
        yield ask
    count = Count(len(one.landmarks), "landmark", "landmarks")
    yield Sentence("Of {count}, {words}.", {"count": count, "words": counts([one])})


def _seen(review: Review, one: RoundAnswer) -> Iterator[Block]:
    """The sculpt over the stills, from the side none shows, in space, and from twelve sides."""
    inputs, answer = review.inputs_of(LIKENESS), review.of(LIKENESS)
    made = shots(inputs, answer).get(one.round, ())
    through = [shot for shot in made if isinstance(shot, ThroughStill)]
    if through:
        unseen = unseen_side(inputs, answer, one.round)
        yield _lens(review.project, one, through, unseen)
    sides = next((shot for shot in made if isinstance(shot, TwelveSides)), None)
    if sides is None:
        told = Sentence("{head} has no mesh that can be shown yet.", {"head": Name(one.name)})
        yield Paragraph((told,), (Link("sculpts", "", "Bring in its mesh"),))
        return
    version = version_of(ref_of(review.project.rounds[one.round]), sides.sha256)
    yield Turning(one.round, one.name, version, tuple(_moves(one)))
    yield photo_of(one, sides)


def _lens(
    project: Project, one: RoundAnswer, through: list[ThroughStill], unseen: UnseenSide | None
) -> LensView:
    answers = {still.id: still for still in one.stills}
    shown = tuple(
        LensStill(shot.still, _state(answers[shot.still]),
                  tuple(LensLayer(shot, part) for part in LAYERS))
        for shot in through
    )  # fmt: skip
    there = {shot.still for shot in through}
    others = tuple(
        (id_, _state(still)) for id_, still in answers.items()
        if id_ not in there and id_ in project.stills
    )  # fmt: skip
    said = "" if unseen is None else _unseen(unseen)
    return LensView(one.name, shown, others, *LARGE, unseen, said)


def _state(still: StillAnswer) -> str:
    """How a still is used, in words."""
    if not still.used:
        return WHY_NOT.get(still.reason, still.reason) or "not used"
    left = len(still.rejected)
    seen = "1 landmark" if still.sightings == 1 else f"{still.sightings} landmarks"
    return f"{seen}, {left} left out" if left else seen


def _unseen(shot: UnseenSide) -> str:
    """From where it is seen, and how far from there the nearest still was taken."""
    hand = "left" if shot.yaw_deg > 0 else "right"
    where = "the front" if not shot.yaw_deg else f"{abs(shot.yaw_deg):.0f}° to its {hand}"
    return (
        f"The side that no still shows: from {where}. The nearest still was taken "
        f"{shot.apart_deg:.0f}° from there."
    )


def _moves(one: RoundAnswer) -> Iterator[Move]:
    for mark in moves_of(one):
        if mark.move_mm is not None:
            end = tuple(a + b for a, b in zip(mark.place_mm, mark.move_mm, strict=True))
            yield Move(_three(mark.place_mm), _three(end), mark.fails)


def _three(values: tuple[float, ...]) -> str:
    return " ".join(f"{value:.4f}" for value in values)
