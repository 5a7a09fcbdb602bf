"""“Does the head look right?”: each head's latest round, by landmark, and its stills."""

from collections import Counter
from collections.abc import Iterator

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.reports.document import (
    Answer,
    Block,
    Document,
    Fold,
    Heading,
    Items,
    Link,
    Paragraph,
    Plate,
)
from sixwright.reports.pages.asks import asked_table, to_sculptor
from sixwright.reports.pages.likeness_files import files
from sixwright.reports.pages.likeness_outlines import outlines
from sixwright.reports.pages.likeness_pictures import pictures
from sixwright.reports.pages.likeness_tables import features, landmarks, rounds, stills, views
from sixwright.reports.pages.stills import to_stills
from sixwright.reports.pages.topic import closing, of_topic
from sixwright.reports.wording.evidence import item, open_findings
from sixwright.reports.wording.words import joined
from sixwright.topics.likeness.asks import ask_sentence
from sixwright.topics.likeness.model import Answer as Heads
from sixwright.topics.likeness.model import RoundAnswer
from sixwright.topics.likeness.pictures import view
from sixwright.topics.likeness.remedies import most_a_minute, what_limits
from sixwright.topics.likeness.sources import SOURCES
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.workflows.reviewed import Review

METHOD = (
    Sentence("Each still's camera and the person's landmarks are solved for together."),
    Sentence("The person is then laid on the sculpt by turning, moving and resizing."),
    Sentence("A head that is too large or too small all over is therefore not seen here."),
    Sentence("How a sculpt errs over the head is fitted to the head itself, beside the stills."),
    Sentence("An interval is a pair of bounds, each of which is wrong 5 times in 100."),
    Sentence("A landmark holds where its chance of being off by more than allowed is below 5 %."),
    Sentence("On poor stills the stills alone decide, and nothing holds by what is believed."),
    Sentence("sixwright cannot say whether you may sell a likeness: that is for someone licensed."),
    Sentence("Landmarks are placed by hand; a round’s mesh says which way they face."),
)
# Rules whose open findings are a row each of a head's table; the rest are things to do.
IN_TABLE = frozenset({"correction", "outline"})
ORDER = (
    (Verdict.FAILS, "fails", "fail"),
    (Verdict.DOUBTFUL, "is doubtful", "are doubtful"),
    (Verdict.UNCHECKED, "cannot be judged", "cannot be judged"),
    (Verdict.HOLDS, "holds", "hold"),
)


def page(review: Review) -> Document:
    """The page of likeness."""
    heads = review.of(LIKENESS)
    findings = of_topic(review, "likeness")
    latest = [one for one in heads.rounds if one.latest]
    blocks: list[Block] = [Answer(review.verdicts.get("likeness"), tuple(_answer(latest)))]
    if latest:
        blocks.append(Heading("Head by head", "likeness-heads"))
        blocks.append(to_stills(Sentence("The latest round of each head is judged.")))
    for one in latest:
        shown = tuple(_head(review, heads, one, findings))
        fails = any(mark.verdict is Verdict.FAILS for mark in one.landmarks)
        blocks += shown if fails or len(latest) == 1 else (_folded(one, shown),)
    for person, first in {one.person: one for one in latest[::-1]}.items():
        if person is not None and first.stills:
            blocks.append(stills(review.project, person, first))
    sculpts = files(heads)
    if sculpts is not None:
        blocks.append(sculpts)
    told = {finding.id for finding in findings if _is_told_in_table(finding)}
    blocks += closing(review, "likeness", METHOD, SOURCES, but=told)
    opened = [finding for finding in open_findings(findings) if finding.id in told]
    left = [item(finding) for finding in opened]
    if left:
        lines = any(finding.rule == "outline" for finding in opened)
        count = Count(len(left), "landmark", "landmarks and outlines" if lines else "landmarks")
        summary = Sentence("What the stills leave open: {count}", {"count": count})
        blocks.insert(-1, Fold(summary, (Items(tuple(left), brief=True),), to_work=True))
    return Document(LIKENESS.id, LIKENESS.question, tuple(blocks), review.project.locale)


def _is_told_in_table(finding: Finding) -> bool:
    return finding.rule in IN_TABLE and finding.verdict in {Verdict.DOUBTFUL, Verdict.UNCHECKED}


def _answer(latest: list[RoundAnswer]) -> Iterator[Sentence]:
    """What to change on each head first, then how much of the heads could be judged at all."""
    if not latest:
        yield Sentence("No round of any head has landmarks yet, so nothing can be said.")
        return
    yield from (ask for one in latest if (ask := ask_sentence(one)) is not None)
    values: dict[str, Value] = {
        "all": Count(sum(len(one.landmarks) for one in latest), "landmark", "landmarks"),
        "heads": Count(len(latest), "head", "heads"),
        "words": counts(latest),
    }
    yield Sentence("Of {all} on {heads}, {words}.", values)


def _folded(one: RoundAnswer, blocks: tuple[Block, ...]) -> Fold:
    """A head on which nothing fails: one line with its counts, which unfolds."""
    values: dict[str, Value] = {"head": Name(one.name), "words": counts([one])}
    text = "{head}: {words}" if one.landmarks else "{head}: no landmarks yet"
    return Fold(Sentence(text, values), blocks[1:], f"head-{one.sculpt}")


def counts(heads: list[RoundAnswer]) -> str:
    """How many landmarks fail, are doubtful, cannot be judged and hold, in words."""
    counts = Counter(mark.verdict for one in heads for mark in one.landmarks)
    words = [
        f"{counts[verdict]} {one if counts[verdict] == 1 else many}"
        for verdict, one, many in ORDER
        if counts[verdict]
    ]
    return joined(tuple(words))


def _head(
    review: Review, heads: Heads, one: RoundAnswer, findings: tuple[Finding, ...]
) -> Iterator[Block]:
    """One head: what its stills would show, its pictures, and its landmarks."""
    sculpt = review.project.sculpts[one.sculpt]
    part = review.project.parts.get(sculpt.part or "")
    name = one.name
    yield Heading(name, f"head-{one.sculpt}")
    said = [f.message for f in findings if f.rule == "visibility" and f.subject.id == one.round]
    if part is not None:
        said.insert(0, Sentence("The sculpt of {part}.", {"part": Name(part.name)}))
    said += [told for told in (what_limits(one), most_a_minute(one)) if told is not None]
    alone = Link(f"likeness/{one.sculpt}", "", "Look at this head by itself")
    yield Paragraph(tuple(said), (alone,))
    if one.landmarks:
        yield to_sculptor(one)
    if any(mark.place_mm for mark in one.landmarks):
        yield Plate(view(one, side=False), tabled=True)
        yield Plate(view(one, side=True), tabled=True)
    yield from pictures(review, one)
    if one.features:
        yield features(one)
    if one.landmarks:
        yield landmarks(one, findings)
    yield from outlines(one, findings)
    before = [o for o in heads.rounds if o.sculpt == one.sculpt and o.round != one.round]
    table = rounds([*before, one], name) if before else None
    if table is not None:
        yield table
    was_asked = asked_table(review, one.sculpt)
    if was_asked is not None:
        yield was_asked
    if one.next_views:
        yield views(one, name)
