"""Home: what needs you, in sentences, worst first, each with a link to its evidence."""

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
)
from sixwright.reports.evidence import anchor, item, open_findings
from sixwright.reports.pages.glance import at_a_glance
from sixwright.reports.pages.topic import tally
from sixwright.reports.words import weekday
from sixwright.workflows.review import Review

# So many things are laid out; the rest is folded, worst first as well.
MOST = 20
# What the link to a finding's evidence says, by topic.
SEE = {"lineup": "See the box", "money": "See the money"}


def home(review: Review) -> Document:
    """The first page: the day, the state of the line, and what needs you."""
    project = review.project
    findings = open_findings(review.findings)
    fresh = [finding for finding in findings if finding.accepted is None]
    lived_with = [finding for finding in findings if finding.accepted is not None]
    items = tuple(
        item(finding, (Link(finding.topic, anchor(finding), _see(finding.topic)),))
        for finding in fresh
    )
    blocks: list[Block] = [
        Answer(review.verdict, (tally(review.findings), *_held(review))),
        Heading("What needs you", "needs"),
        Items(items[:MOST], none=_nothing(review), brief=True),
    ]
    if items[MOST:]:
        more = Count(len(items[MOST:]), "more thing needs you", "more things need you")
        blocks.append(Fold(Sentence("{more}", {"more": more}), (Items(items[MOST:], brief=True),)))
    if lived_with:
        count = Count(len(lived_with), "thing", "things")
        accepted = tuple(
            item(finding, (Link(finding.topic, anchor(finding), _see(finding.topic)),))
            for finding in lived_with
        )
        summary = Sentence("What you live with: {count}", {"count": count})
        blocks.append(Fold(summary, (Items(accepted, brief=True),), "accepted"))
    if review.lapsed:
        blocks += [Heading("No longer accepted", "lapsed"), Paragraph(_lapsed(review))]
    blocks += at_a_glance(review)
    return Document("home", weekday(review.today, project.locale), tuple(blocks), project.locale)


def _see(topic: str) -> str:
    return SEE.get(topic, "See the evidence")


def _held(review: Review) -> tuple[Sentence, ...]:
    holds = review.counts[Verdict.HOLDS]
    if not holds or review.verdict is Verdict.HOLDS:
        return ()
    return (Sentence("{count} hold.", {"count": Count(holds, "other check", "other checks")}),)


def _nothing(review: Review) -> Sentence:
    name: dict[str, Value] = {"line": Name(review.project.name)}
    return Sentence("Nothing in {line} needs you today.", name)


def _lapsed(review: Review) -> tuple[Sentence, ...]:
    return tuple(
        Sentence(
            "{finding} was accepted by {by}; its value has moved since, or it is settled.",
            {"finding": finding, "by": accepted.by},
        )
        for finding, accepted in review.lapsed.items()
    )
