"""What every topic's page has in common: findings below, what holds and the method folded."""

from collections import Counter
from collections.abc import Collection, Iterable, Sequence

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Sentence
from sixwright.kernel.sources import Source
from sixwright.reports.document import Block, Fold, Heading, Item, Items, Link, Paragraph, Sources
from sixwright.reports.wording.evidence import item, open_findings
from sixwright.reports.wording.words import SPELLED, joined, spelled
from sixwright.workflows.reviewed import Review

# Of what holds by one rule so many are listed; of more, so many, and the others are folded.
MOST_ALIKE, FIRST_ALIKE = 8, 3
VERBS = {
    Verdict.FAILS: ("fails", "fail"),
    Verdict.UNCHECKED: ("cannot be judged yet", "cannot be judged yet"),
    Verdict.DOUBTFUL: ("is doubtful", "are doubtful"),
}


def of_topic(review: Review, topic: str) -> tuple[Finding, ...]:
    """The findings of one topic, worst first."""
    return tuple(finding for finding in review.findings if finding.topic == topic)


def tally(findings: Iterable[Finding]) -> Sentence:
    """How many fail, cannot be judged or are doubtful, in words; or that all hold."""
    found = Counter(finding.verdict for finding in findings)
    bad = [(found[verdict], verdict) for verdict in VERBS if found[verdict]]
    if not bad:
        held = Count(found[Verdict.HOLDS], "check holds", "checks hold")
        return Sentence("All {held}." if held.value > 1 else "{held}.", {"held": held})
    in_figures = any(count >= len(SPELLED) for count, _ in bad)
    words: list[str] = []
    for count, verdict in bad:
        said = str(count) if in_figures else spelled(count)
        thing = "" if words else " thing" if count == 1 else " things"
        words.append(f"{said}{thing} {VERBS[verdict][count != 1]}")
    joined_words = joined(tuple(words))
    return Sentence("{words}.", {"words": joined_words[:1].upper() + joined_words[1:]})


UNJUDGED = Sentence("Nothing can be judged yet; what is missing is said above.")


def closing(
    review: Review,
    topic: str,
    method: tuple[Sentence, ...],
    sources: tuple[Source, ...],
    *,
    but: Collection[str] = (),
) -> tuple[Block, ...]:
    """What to do next, what holds, and the method with its sources: the end of every page.

    Parameters
    ----------
    but
        Ids of findings that the page tells elsewhere.
    """
    findings = tuple(finding for finding in of_topic(review, topic) if finding.id not in but)
    needs = tuple(item(finding, beside_method=True) for finding in open_findings(findings))
    held = tuple(
        item(finding, beside_method=True)
        for finding in findings
        if finding.verdict is Verdict.HOLDS
    )
    blocks: list[Block] = [Heading("What to do next", f"{topic}-next"), *_needs(needs)]
    if not findings and review.verdicts.get(topic) is Verdict.UNCHECKED:
        blocks[1:] = [Paragraph((UNJUDGED,))]
    if held:
        summary = Sentence("What holds: {count}", {"count": Count(len(held), "check", "checks")})
        blocks.append(Fold(summary, _held(held), f"{topic}-holds"))
    blocks.append(
        Fold(
            Sentence("How this is worked out, its limits and its sources"),
            (Paragraph(method, (_in_full(topic),)), Sources(sources)),
            f"{topic}-method",
        )
    )
    return tuple(blocks)


def _needs(items: Sequence[Item]) -> tuple[Block, ...]:
    """What needs the producer; of many that wait for cells alike, the first, the others folded."""
    rules = Counter(each.finding.rule for each in items if _waits(each))
    shown, folded = list[Item](), dict[str, list[Item]]()
    met: Counter[str] = Counter()
    for each in items:
        rule = each.finding.rule
        met[rule] += _waits(each)
        if _waits(each) and rules[rule] > MOST_ALIKE and met[rule] > FIRST_ALIKE:
            folded.setdefault(rule, []).append(each)
        else:
            shown.append(each)
    blocks: list[Block] = [Items(tuple(shown))]
    for rest in folded.values():
        more = Count(len(rest), "more waits", "more wait")
        summary = Sentence("{more} for values in the same way", {"more": more})
        blocks.append(Fold(summary, (Items(tuple(rest)),)))
    return tuple(blocks)


def _waits(each: Item) -> bool:
    """Whether cells are all that it waits for, and not one of its subject alone: that is asked."""
    finding = each.finding
    asked = [place.split("/")[1] for place in finding.missing]
    return finding.verdict is Verdict.UNCHECKED and asked not in ([], [finding.subject.id])


def _held(items: Sequence[Item]) -> tuple[Block, ...]:
    """What holds, rule by rule: the first of each, and where there are many, the others folded."""
    rules: dict[str, list[Item]] = {}
    for each in items:
        rules.setdefault(each.finding.rule, []).append(each)
    blocks: list[Block] = []
    for alike in rules.values():
        few = alike if len(alike) <= MOST_ALIKE else alike[:FIRST_ALIKE]
        blocks.append(Items(tuple(few), brief=True, compact=True))
        if rest := alike[len(few) :]:
            more = Count(len(rest), "more like these", "more like these")
            rows = Items(tuple(rest), brief=True, compact=True)
            blocks.append(Fold(Sentence("{more}", {"more": more}), (rows,)))
    return tuple(blocks)


def _in_full(topic: str) -> Link:
    """The topic's page in the documentation."""
    return Link(f"docs/topics/{topic}", "", "The method in full, with its rules and limits")
