"""Home: what needs you, in sentences, worst first, each with a link to its evidence."""

from collections.abc import Collection, Mapping, Sequence

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
from sixwright.reports.pages.makers import at_home
from sixwright.reports.pages.topic import tally
from sixwright.reports.wording.evidence import anchor, item, open_findings
from sixwright.reports.wording.words import weekday
from sixwright.workflows.choices_topic import CHOICES
from sixwright.workflows.choose_checks import moves_most
from sixwright.workflows.faults import FaultDoubt
from sixwright.workflows.fill_first import fill_first
from sixwright.workflows.reviewed import Review
from sixwright.workflows.since import Since
from sixwright.workflows.topics import BY_ID

TITLE = "What needs you today?"
# So many things are laid out; the rest is folded, worst first as well.
MOST = 10


def home(review: Review, moved: Since | None = None) -> Document:
    """The first page: the day, the state of the line, what moved, and what needs you.

    Parameters
    ----------
    moved
        What has changed since the producer last looked; None at a first visit, and in a report.
    """
    project = review.project
    told = tuple(f for f in review.findings if f.seen.doubt is not FaultDoubt.PENDING)
    findings = open_findings(told)
    fresh = [finding for finding in findings if finding.accepted is None]
    lived_with = [finding for finding in findings if finding.accepted is not None]
    to_fill = fill_in(project, [f for f in fresh if f.topic != "choices"])
    items = _by_cause([f for f in fresh if not _is_to_fill(f)], open_choices(project.choices))
    day = Sentence("{day}.", {"day": weekday(review.today, project.locale)})
    none = _nothing(review, accepted=bool(lived_with), to_fill=bool(to_fill))
    blocks: list[Block] = [
        Answer(review.verdict, (day, *_under_way(review), tally(told), *_held(review))),
        Items(items[:MOST], none=none, brief=True),
    ]
    if items[MOST:]:
        more = Count(len(items[MOST:]), "more thing needs you", "more things need you")
        blocks.append(Fold(Sentence("{more}", {"more": more}), (Items(items[MOST:], brief=True),)))
    blocks += [*to_fill, *changed_since(moved)]
    if lived_with:
        count = Count(len(lived_with), "thing", "things")
        accepted = tuple(item(finding, (_link(finding),)) for finding in lived_with)
        summary = Sentence("What you live with: {count}", {"count": count})
        blocks.append(Fold(summary, (Items(accepted, brief=True),), "accepted"))
    if review.lapsed:
        blocks += [Heading("No longer accepted", "lapsed"), Paragraph(_lapsed(review))]
    blocks += chance_list(project, review.chances, at="home")
    blocks += [*waits(project, fresh), *at_home(review)]
    blocks += [*_open_choice(review), *at_a_glance(review)]
    return Document("home", TITLE, tuple(blocks), project.locale)


def _open_choice(review: Review) -> tuple[Block, ...]:
    """The open choice that moves the profit the most, in a sentence."""
    choosing = review.get(CHOICES)
    most = moves_most(choosing) if choosing is not None else None
    if most is None:
        return ()
    choice, sentence = most
    link = Link("choices", f"choice-{choice.id}", "Compare the options")
    return (Heading("One open choice moves the most", "choice"), Paragraph((sentence,), (link,)))


def _under_way(review: Review) -> tuple[Sentence, ...]:
    """That some questions are still being worked out, so that what follows is not all."""
    count = Count(len(review.pending), "question is", "questions are")
    stopped = Count(len(review.stopped), "question was", "questions were")
    told = []
    if count.value:
        told.append(Sentence("{count} still being worked out.", {"count": count}))
    if stopped.value:
        told.append(Sentence("{count} stopped on the way.", {"count": stopped}))
    return tuple(told)


def _is_to_fill(finding: Finding) -> bool:
    """Whether cells that are to be filled in are all that it waits for."""
    return finding.verdict is Verdict.UNCHECKED and bool(fill_first([finding]))


def _by_cause(findings: Sequence[Finding], choices: Mapping[str, Choice]) -> tuple[Item, ...]:
    """The heaviest of what one rule finds in one way, and how many more there are like it."""
    groups: dict[tuple[str, str, Verdict], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.topic, finding.rule, finding.verdict), []).append(finding)
    items: list[Item] = []
    for first, *alike in groups.values():
        links = (_link(first), *_decided_by(first, choices.values()))
        links += (_more(first, len(alike)),) if alike else ()
        items.append(item(first, links))
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


def _nothing(review: Review, *, accepted: bool, to_fill: bool) -> Sentence:
    if to_fill:
        return Sentence("Nothing is found wrong so far; what is missing is listed below.")
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
