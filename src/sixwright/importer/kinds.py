"""Which kind each part is of: as its cell, its name or the heading above it says."""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches

from sixwright.importer.words import kind_by
from sixwright.kernel.errors import Problem
from sixwright.line.boxes import KINDS

_SHOWN = 12  # names or words in one sentence; more are counted

Named = tuple[int, str]  # a row, as the spreadsheet counts, and its part's name


@dataclass(frozen=True, slots=True)
class SectionHeading:
    """A row that heads those below it: its text, and the kind that it names, if any."""

    text: str = ""
    kind: str | None = None


@dataclass(slots=True)
class Kinds:
    """Finds the kind of each part, and remembers how.

    Attributes
    ----------
    told
        What the producer says a word means: word in lower case to kind.
    abroad
        The same of the language that the columns are named in, where it is another.
    default
        The kind of parts whose kind nothing states; None where the producer names none.
    words
        Words of kind cells, and headings, that name no kind: word to the parts that have it.
    headings
        Those of the words that are headings.
    silent
        Parts of which no cell, name or heading says anything.
    """

    told: Mapping[str, str] = field(default_factory=dict)
    default: str | None = None
    abroad: Mapping[str, str] = field(default_factory=dict)
    by_name: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    by_heading: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    words: dict[str, list[Named]] = field(default_factory=lambda: defaultdict(list))
    headings: set[str] = field(default_factory=set)
    silent: list[Named] = field(default_factory=list)

    def within(self, text: str) -> str | None:
        """The kind that a text names."""
        return kind_by(text, {**self.abroad, **self.told})

    def of(self, part: Named, cell: str, heading: SectionHeading) -> str:
        """The kind of a part; empty where it must be asked for."""
        name = part[1]
        if kind := self.within(cell):
            return kind
        if kind := self.within(name):
            self.by_name[kind].append(name)
            return kind
        if heading.kind:
            self.by_heading[heading.kind].append(name)
            return heading.kind
        if not cell and heading.text:
            self.headings.add(heading.text)
        if word := cell or heading.text:
            self.words[word].append(part)
        else:
            self.silent.append(part)
        return self.default or ""

    def says(self) -> Iterator[str]:
        """How kinds were found, where no kind cell states them."""
        for found, why in (
            (self.by_name, "their names say"),
            (self.by_heading, "the heading says"),
        ):
            for kind, names in sorted(found.items()):
                why_one = "its name says" if len(names) == 1 and found is self.by_name else why
                yield f"Read as {kind}, as {why_one}: {_listed([f'“{name}”' for name in names])}."
        if self.default:
            yield from self._default_said(self.default)

    def _default_said(self, kind: str) -> Iterator[str]:
        given = [*(part for parts in self.words.values() for part in parts), *self.silent]
        if given:
            got = "1 part has" if len(given) == 1 else f"{len(given)} parts have"
            names = _listed([f"“{name}”" for _, name in sorted(given)])
            yield f"{got} the kind {kind}, because you say so and nothing states another: {names}."
        if self.words:
            example = _example(next(iter(self.words)))
            yield f"Not recognised as kinds: {self._words()}; say --kind {example} for each."

    def questions(self, place: str) -> Iterator[Problem]:
        """The words and the parts of unknown kind, where no default is given."""
        if self.default:
            return
        known = ", ".join(KINDS)
        if self.words:
            example = _example(next(iter(self.words)))
            expected = (
                f"words for kinds, or --kind {example} for each word, KIND being one of {known}"
            )
            yield Problem(place, expected, f"words that name none: {self._words()}")
        if self.silent:
            expected = (
                f"a kind for each part: a column of kinds (--column NAME=kind), or --kind KIND for "
                f"all that state none, KIND being one of {known}"
            )
            count = f"{len(self.silent)} {'part' if len(self.silent) == 1 else 'parts'}"
            names = _listed([f"“{name}” (row {row})" for row, name in self.silent])
            yield Problem(place, expected, f"{count} of no stated kind: {names}")

    def _words(self) -> str:
        """The words that name no kind, each with the rows of its parts."""
        told = []
        for word, parts in self.words.items():
            above = "heading of " if word in self.headings else ""
            told.append(f"“{word}” ({above}{_rows([row for row, _ in parts])})")
        return _listed(told)

    def refusals(self, file: str, texts: Sequence[str]) -> Iterator[Problem]:
        """What was said of kinds and cannot be meant: no kind of ours, or a word nobody uses.

        Parameters
        ----------
        texts
            Every text of the sheet that may name a kind.
        """
        said = [*self.told.values(), *([self.default] if self.default else [])]
        for kind in dict.fromkeys(kind for kind in said if kind not in KINDS):
            near = get_close_matches(kind, KINDS, 1)
            expected = f"one of {', '.join(KINDS)}"
            yield Problem(
                file, expected, f"“{kind}”", key="--kind", suggestion=next(iter(near), None)
            )
        for word in self.told:
            if not any(kind_by(text, {word: "head"}, ours=False) for text in texts):
                near = get_close_matches(word, [text.casefold() for text in texts], 1)
                expected = "a word of a kind cell, a name or a heading of the sheet"
                found = f"“{word}”, which stands in none"
                yield Problem(
                    file, expected, found, key="--kind", suggestion=next(iter(near), None)
                )


def _example(word: str) -> str:
    """What to type, quoted where a shell would take the word apart."""
    return f"{word}=KIND" if re.fullmatch(r"[\w.-]+", word) else f'"{word}=KIND"'


def _rows(numbers: Sequence[int]) -> str:
    return (
        f"{'row' if len(numbers) == 1 else 'rows'} {_listed([str(number) for number in numbers])}"
    )


def _listed(texts: Sequence[str]) -> str:
    """The texts with commas between them; beyond the first few, how many more there are."""
    more = f" and {len(texts) - _SHOWN} more" if len(texts) > _SHOWN else ""
    return ", ".join(texts[:_SHOWN]) + more
