"""The spine: the questions in their groups with their verdicts, and the folder's imprint."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from itertools import groupby

from sixwright.kernel.intervals import Verdict
from sixwright.project.choices import open_choices
from sixwright.reports.wording.words import day
from sixwright.workflows.choices_topic import CHOICES
from sixwright.workflows.reviewed import Review
from sixwright.workflows.topics import TOPICS


@dataclass(frozen=True, slots=True)
class Entry:
    """One question of the spine; `count` stands for the verdict where nothing is amiss."""

    topic: str
    question: str
    verdict: Verdict
    href: str
    current: bool = False
    count: int | None = None


@dataclass(frozen=True, slots=True)
class TopicGroup:
    """Questions that belong together."""

    name: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Spine:
    """The state of the line and the way around it."""

    name: str
    sub: str
    home: str
    at_home: bool
    groups: tuple[TopicGroup, ...]


@dataclass(frozen=True, slots=True)
class Colophon:
    """Whose folder this is, of which day, with the checksum of what was read."""

    folder: str
    date: str
    checksum: str

    @property
    def words(self) -> str:
        """The three in one line, as the foot of every printed page has it."""
        return f"{self.folder} · {self.date} · {self.checksum}"


def spine(review: Review, *, current: str, href: Callable[[str], str]) -> Spine:
    """The spine of a page: only topics that are built and were judged.

    Parameters
    ----------
    review
        What was judged.
    current
        Topic of the page, or ``home``.
    href
        Where a topic is: its address, or its place in the same file.
    """
    judged = [topic for topic in TOPICS if topic.id in review.verdicts]
    groups = tuple(
        TopicGroup(
            name,
            tuple(
                Entry(
                    t.id,
                    t.question,
                    review.verdicts[t.id],
                    href(t.id),
                    t.id == current,
                    _count(review, t.id),
                )
                for t in topics
            ),
        )
        for name, topics in groupby(judged, key=lambda topic: topic.group)
    )
    return Spine(review.project.name, subtitle(review), href("home"), current == "home", groups)


def _count(review: Review, topic: str) -> int | None:
    """How many choices are open, where each of them can be tried; None for other topics."""
    if topic != CHOICES.id or review.verdicts[topic] is not Verdict.HOLDS:
        return None
    return len(open_choices(review.project.choices)) or None


def subtitle(review: Review) -> str:
    """The line in a few words: scale, looks, editions, sets."""
    project = review.project
    sets = sum(sold.is_set for sold in project.sells.values())
    editions = len(project.sells) - sets
    counted = (
        (len(project.looks), "look", "looks"),
        (editions, "edition", "editions"),
        (sets, "set", "sets"),
    )
    words = [f"{count} {one if count == 1 else many}" for count, one, many in counted if count]
    return " · ".join([f"1:{project.scale}", *words])


def colophon(*, folder: str, inputs: Mapping[str, str], today: date, locale: str) -> Colophon:
    """The imprint of what was read.

    Parameters
    ----------
    folder
        The folder's name.
    inputs
        File, relative, to the SHA-256 of its bytes.
    """
    lines = "".join(f"{name} {digest}\n" for name, digest in sorted(inputs.items()))
    return Colophon(folder, day(today, locale), sha256(lines.encode()).hexdigest()[:12])
