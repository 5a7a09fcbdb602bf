"""Home: what needs you, in sentences, worst first, each with a link to its evidence."""

from collections.abc import Collection, Sequence

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.project.choices import Choice, open_choices
from sixwright.reports.document import (
    Answer,
    Block,
    Document,
    Fold,
    Heading,
    Item,
    Items,
    Link,
    Paragraph,
)
from sixwright.reports.pages.chances import chance_list
from sixwright.reports.pages.fill_in import fill_in
from sixwright.reports.pages.glance import at_a_glance
from sixwright.reports.pages.home_since import changed_since, waits
from sixwright.reports.pages.topic import tally
from sixwright.reports.wording.evidence import anchor, item, open_findings
from sixwright.reports.wording.words import weekday
from sixwright.workflows.choices_topic import CHOICES
from sixwright.workflows.choose_checks import moves_most
from sixwright.workflows.reviewed import Review
from sixwright.workflows.since import Since
from sixwright.workflows.topics import BY_ID

# So many things are laid out; the rest is folded, worst first as well.
MOST = 20
# Of what one rule leaves open, without failing, so many are laid out.
ALIKE = 3


def home(review: Review, moved: Since | None = None) -> Document:
    """The first page: the day, the state of the line, what moved, and what needs you.

    Parameters
    ----------
    moved
        What has changed since the producer last looked; None at a first visit, and in a report.
    """
    project = review.project
    findings = open_findings(review.findings)
    fresh = [finding for finding in findings if finding.accepted is None]
    lived_with = [finding for finding in findings if finding.accepted is not None]
    items = _alike(fresh, open_choices(project.choices).values())
    blocks: list[Block] = [
        Answer(review.verdict, (tally(review.findings), *_held(review))),
        *changed_since(moved),
        *fill_in(project, [f for f in fresh if f.topic != "choices"]),
        Heading("What needs you", "needs"),
        Items(items[:MOST], none=_nothing(review, accepted=bool(lived_with)), brief=True),
    ]
    if items[MOST:]:
        more = Count(len(items[MOST:]), "more thing needs you", "more things need you")
        blocks.append(Fold(Sentence("{more}", {"more": more}), (Items(items[MOST:], brief=True),)))
    if lived_with:
        count = Count(len(lived_with), "thing", "things")
        accepted = tuple(item(finding, (_link(finding),)) for finding in lived_with)
        summary = Sentence("What you live with: {count}", {"count": count})
        blocks.append(Fold(summary, (Items(accepted, brief=True),), "accepted"))
    if review.lapsed:
        blocks += [Heading("No longer accepted", "lapsed"), Paragraph(_lapsed(review))]
    blocks += chance_list(project, review.chances, at="home")
    blocks += [*waits(project, fresh), *_open_choice(review), *at_a_glance(review)]
    return Document("home", weekday(review.today, project.locale), tuple(blocks), project.locale)


def _open_choice(review: Review) -> tuple[Block, ...]:
    """The open choice that moves the profit the most, in a sentence."""
    choosing = review.get(CHOICES)
    most = moves_most(choosing) if choosing is not None else None
    if most is None:
        return ()
    choice, sentence = most
    link = Link("choices", f"choice-{choice.id}", "Compare the options")
    return (Heading("One open choice moves the most", "choice"), Paragraph((sentence,), (link,)))


def _alike(findings: Sequence[Finding], choices: Collection[Choice]) -> tuple[Item, ...]:
    """All that fails; of what a rule else leaves open, the heaviest and how many more there are."""
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        own = finding.id if finding.verdict is Verdict.FAILS else ""
        groups.setdefault((finding.topic, finding.rule, finding.verdict, own), []).append(finding)
    items: list[Item] = []
    for alike in groups.values():
        shown = alike if len(alike) <= ALIKE else alike[: ALIKE - 1]
        for finding in shown:
            more = len(alike) - len(shown) if finding is shown[-1] else 0
            links = (_link(finding), *_decided_by(finding, choices))
            links += (_more(finding, more),) if more else ()
            items.append(item(finding, links))
    return tuple(items)


def _link(finding: Finding) -> Link:
    return Link(finding.topic, anchor(finding), BY_ID[finding.topic].see)


def _decided_by(finding: Finding, choices: Collection[Choice]) -> tuple[Link, ...]:
    """The open choice that a finding's remedy names, if it names one."""
    named = finding.remedy.values.values() if finding.remedy else ()
    return tuple(
        Link("choices", f"choice-{choice.id}", "Compare the options")
        for choice in choices
        if Name(choice.question.rstrip("?")) in named
    )


def _more(finding: Finding, count: int) -> Link:
    """Where the page of a topic lists the others of a rule."""
    at = "heads" if (finding.topic, finding.rule) == ("likeness", "correction") else "next"
    return Link(finding.topic, f"{finding.topic}-{at}", f"{count} more like it")


def _held(review: Review) -> tuple[Sentence, ...]:
    holds = review.counts[Verdict.HOLDS]
    if not holds or review.verdict is Verdict.HOLDS:
        return ()
    return (Sentence("{count} hold.", {"count": Count(holds, "other check", "other checks")}),)


def _nothing(review: Review, *, accepted: bool) -> Sentence:
    if accepted:
        return Sentence("Nothing needs you but what you accepted, listed below.")
    name: dict[str, Value] = {"line": Name(review.project.name)}
    return Sentence("Nothing in {line} needs you today.", name)


def _lapsed(review: Review) -> tuple[Sentence, ...]:
    """What was accepted and is so no longer: because its value moved, or because it is settled."""
    known = {finding.id: finding for finding in review.findings}
    return tuple(_why_lapsed(known.get(id_), by.by) for id_, by in review.lapsed.items())


def _why_lapsed(finding: Finding | None, by: str) -> Sentence:
    if finding is None:
        return Sentence("What {by} accepted is not judged any more.", {"by": by})
    settled = finding.verdict is Verdict.HOLDS
    lead = "What {by} accepted is settled" if settled else "What {by} accepted has moved"
    return Sentence(f"{lead}: {finding.message.template}", {**finding.message.values, "by": by})
