"""What every topic's page has in common: findings below, what holds and the method folded."""

from collections import Counter
from collections.abc import Collection, Iterable

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Sentence
from sixwright.kernel.sources import Source
from sixwright.reports.document import Block, Fold, Heading, Items, Link, Paragraph, Sources
from sixwright.reports.wording.evidence import item, open_findings
from sixwright.reports.wording.words import SPELLED, joined, spelled
from sixwright.workflows.reviewed import Review

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
    blocks: list[Block] = [Heading("What to do next", f"{topic}-next"), Items(needs)]
    if held:
        summary = Sentence("What holds: {count}", {"count": Count(len(held), "check", "checks")})
        blocks.append(Fold(summary, (Items(held, brief=True, compact=True),), f"{topic}-holds"))
    blocks.append(
        Fold(
            Sentence("How this is worked out, its limits and its sources"),
            (Paragraph(method, (_in_full(topic),)), Sources(sources)),
            f"{topic}-method",
        )
    )
    return tuple(blocks)


def _in_full(topic: str) -> Link:
    """The topic's page in the documentation."""
    return Link(f"docs/topics/{topic}", "", "The method in full, with its rules and limits")
