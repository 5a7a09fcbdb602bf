"""Documents as command output: the same blocks, the same words, in a terminal's width."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from textwrap import fill, wrap
from typing import TextIO

from sixwright.kernel.errors import UNREADABLE, Problem
from sixwright.kernel.sentences import Count, Sentence, Value
from sixwright.reports.document import (
    Answer,
    Block,
    Document,
    Fold,
    Heading,
    Item,
    Items,
    Paragraph,
    Photo,
    Plate,
    Sources,
    Table,
)
from sixwright.reports.pages import documents
from sixwright.reports.prompt.table import table_lines
from sixwright.reports.spine import subtitle
from sixwright.reports.wording.words import runs, say, text_of
from sixwright.workflows.reviewed import Review

WIDTH = 88
TABLE_WIDTH = 100
NO_BREAK = "\N{NO-BREAK SPACE}"
BOLD, OFF = "\x1b[1m", "\x1b[0m"


def document_text(document: Document, *, styled: bool, folded: bool = True) -> str:
    """A document as lines of text.

    Parameters
    ----------
    document
        What to word.
    styled
        Whether the terminal sets names and headings in bold.
    folded
        Whether what a page folds away stays away; its summary is printed all the same.
    """
    writer = _Writer(document.locale, styled=styled, folded=folded)
    lines = [writer.strong(document.title), ""]
    for block in document.blocks:
        lines += writer.block(block)
    return "\n".join(lines).rstrip() + "\n"


def review_text(review: Review, topics: Sequence[str], *, styled: bool) -> str:
    """A whole review: what needs you and each question's answer; or the topics asked for in full.

    Parameters
    ----------
    review
        What was judged.
    topics
        Those that were asked for; empty for all.
    styled
        As in `document_text`.
    """
    home, *others = documents(review)
    if topics:
        asked = [each for each in others if each.topic in topics]
        return "\n".join(document_text(each, styled=styled) for each in asked)
    writer = _Writer(review.project.locale, styled=styled, folded=True)
    lines = [writer.strong(review.project.name), subtitle(review), ""]
    for each in others:
        lines.append(writer.strong(each.title))
        lines += [line for block in each.blocks[:1] for line in writer.block(block)]
    first = replace(home, blocks=tuple(b for b in home.blocks if not isinstance(b, Plate)))
    text = "\n".join(lines) + "\n" + document_text(first, styled=styled, folded=False)
    there = ", ".join(review.verdicts)
    asking = f"Tables and evidence: sixwright check DIR TOPIC. Topics: {there}."
    return "\n".join([text, *wrap_kept(asking, WIDTH)]) + "\n"


def problems_text(problems: Sequence[Problem], *, styled: bool, what: str = UNREADABLE) -> str:
    """Errors, each a sentence with its place, what was expected and found; first what cannot be."""
    writer = _Writer("en-GB", styled=styled, folded=True)
    count = Count(len(problems), "place", "places")
    lead = Sentence("{count} must be put right.", {"count": count})
    lines = [writer.prose((lead,), first=f"{what}: "), ""]
    for problem in problems:
        lines += wrap_kept(f"- {problem}", WIDTH, indent="  ")
    return "\n".join(lines) + "\n"


def is_styled(stream: TextIO, environment: Mapping[str, str]) -> bool:
    """Whether a stream is a terminal whose user did not ask for plain text (NO_COLOR)."""
    return stream.isatty() and not environment.get("NO_COLOR") and environment.get("TERM") != "dumb"


class _Writer:
    """Words blocks for one locale and one kind of terminal."""

    def __init__(self, locale: str, *, styled: bool, folded: bool) -> None:
        self.locale = locale
        self.styled = styled
        self.folded = folded

    def strong(self, text: str) -> str:
        """Text in bold, where the terminal has it."""
        return f"{BOLD}{text}{OFF}" if self.styled else text

    def word(self, value: Sentence | Value) -> str:
        """A sentence or value in plain text."""
        return (
            say(value, self.locale) if isinstance(value, Sentence) else text_of(value, self.locale)
        )

    def prose(self, sentences: tuple[Sentence, ...], *, first: str = "", rest: str = "") -> str:
        """Sentences wrapped to the width; numbers stay with their units; names in bold."""
        text = first + " ".join(self.word(sentence) for sentence in sentences)
        lines = wrap_kept(text, WIDTH, indent=rest)
        return self._embolden("\n".join(lines), sentences)

    def _embolden(self, text: str, sentences: tuple[Sentence, ...]) -> str:
        if not self.styled:
            return text
        names = {run.text for each in sentences for run in runs(each, self.locale) if run.strong}
        for name in sorted(names, key=len, reverse=True):
            text = text.replace(name, self.strong(name), 1)
        return text

    def block(self, block: Block) -> Iterator[str]:
        """The lines of one block, an empty one after it."""
        match block:
            case Heading(text):
                yield self.strong(text)
                return
            case Items():
                yield from self.items(block)
                return
            case Fold():
                yield from self.fold(block)
            case Table():
                yield from self.table(block)
            case Answer(verdict, sentences):
                lead = f"{verdict}: " if verdict else ""
                yield self.prose(sentences, first=lead)
            case Paragraph(sentences):
                yield self.prose(sentences)
            case Plate(tabled=True) | Photo():
                return
            case Plate(picture):
                yield fill(f"{picture.title}. {picture.summary}", WIDTH)
            case Sources(sources):
                lines = [
                    fill(f"- {each.title}.", WIDTH, subsequent_indent="  ") for each in sources
                ]
                yield from lines
        yield ""

    def table(self, block: Table) -> Iterator[str]:
        """A table under its name, with its caption."""
        yield self.strong(block.name)
        yield from table_lines(block, self.word, width=TABLE_WIDTH)
        if block.caption:
            yield ""
            yield self.prose(block.caption)

    def items(self, block: Items) -> Iterator[str]:
        """Findings, worst first, each with its mark and word, remedy and evidence."""
        if not block.items:
            yield self.prose((block.none,))
            yield ""
        for each in block.items:
            yield from self.item(each, brief=block.brief)

    def item(self, each: Item, *, brief: bool) -> Iterator[str]:
        """One finding."""
        verdict = each.finding.verdict
        yield self.prose((each.finding.message,), first=f"{verdict}: ", rest="  ")
        if each.finding.remedy is not None:
            yield self.prose((each.finding.remedy,), first="  → ", rest="    ")
        if brief and each.links and each.links[-1].words.endswith("more like it"):
            yield f"  And {each.links[-1].words}."
        rests_on = () if brief else (Sentence("{it}", {"it": each.rests_on.words}),)
        if said := (*(each.accepted if brief else each.evidence), *rests_on):
            yield self.prose(said, first="  ", rest="  ")
        yield ""

    def fold(self, block: Fold) -> Iterator[str]:
        """What a page folds away: its summary, and the rest where it is asked for."""
        yield self.prose((block.summary,)) + ("." if self.folded else "")
        if not self.folded:
            for inner in block.blocks:
                yield from self.block(inner)


def wrap_kept(text: str, width: int, *, indent: str = "") -> list[str]:
    """Lines of at most `width`, broken at plain spaces only."""
    held = text.replace(NO_BREAK, "\0")
    lines = wrap(
        held,
        width,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
        drop_whitespace=True,
    )
    return [line.replace("\0", NO_BREAK) for line in lines]
