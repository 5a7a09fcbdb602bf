"""The line's currency, and the currency of each price: what the sheet says, and what is asked."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from sixwright.importer.column_guess import ColumnGuess, SheetColumns
from sixwright.importer.grid import data_rows, is_total
from sixwright.importer.numbers import currency_in
from sixwright.importer.titles import WORDS, Titles
from sixwright.kernel.currency import CURRENCIES, SEVERAL
from sixwright.kernel.errors import Problem
from sixwright.storage.workbooks.sheet import Sheet

_WORDY = re.compile(rf"\b({'|'.join(sorted(WORDS))})\b")


@dataclass(frozen=True, slots=True)
class LineMoney:
    """What a sheet and its producer say of currencies.

    Attributes
    ----------
    currency
        The line's; None where it must be asked for.
    given
        The line's as the producer says it; None where they do not.
    stated
        Every currency of the sheet, in alphabetical order.
    """

    currency: str | None
    given: str | None
    stated: tuple[str, ...]
    read: SheetColumns
    titles: Titles

    @property
    def given_or_titled(self) -> frozenset[str]:
        """The currencies that somebody states in words."""
        return frozenset({self.given or "", *self.titles.currencies})

    def says(self) -> Iterator[str]:
        """In which currency money is read, and why."""
        columns = not self.read.of("currency")
        money = [*self.read.of("price"), *self.read.of("tooling")]
        if money and columns and (title := self.titles.currency):
            number, text = self.titles.currencies[title]
            yield f"Row {number} says “{text}”: money that states no currency is read in {title}."
        if self.currency and not self.given:
            yield (
                f"The line’s currency is read as {self.currency}, the only one in the sheet; "
                "say --currency where you sell in another."
            )
        if columns:
            yield from self._bare(money)
            yield from self._marked(money)

    def _bare(self, money: list[ColumnGuess]) -> Iterator[str]:
        """Columns of money without a currency, which are read in the line's."""
        bare = [
            guess
            for guess in money
            if not guess.currency and self.currency in SEVERAL.get(guess.mark, {self.currency})
        ]
        if self.currency and bare:
            names = " and ".join(f"“{guess.name}”" for guess in bare)
            verbs = "states no currency and is" if len(bare) == 1 else "state no currency and are"
            other = "CNY" if self.currency != "CNY" else "USD"
            start = f"@{bare[0].start}" if bare[0].start else ""
            example = f'--column "{bare[0].name}={bare[0].meaning}{start} {other}"'
            where = "it is in another" if len(bare) == 1 else "one is in another"
            read = f"read in {self.currency}, or in the currency that the rest of a row states"
            yield f"{names} {verbs} {read}; say {example} where {where}."

    def _marked(self, money: list[ColumnGuess]) -> Iterator[str]:
        """Columns whose mark stands for several currencies: which it is, or that this is asked."""
        for guess in money:
            if guess.mark and guess.currency and guess.currency not in self.given_or_titled:
                other = min(SEVERAL[guess.mark] - {guess.currency})
                example = f'--column "{guess.name}={guess.meaning} {other}"'
                yield (
                    f"“{guess.name}” is marked {guess.mark} and is read in {guess.currency}; "
                    f"say {example} where it is in {other}."
                )
            elif guess.mark and not guess.currency and self.currency not in SEVERAL[guess.mark]:
                example = f'--column "{guess.name}={guess.meaning} {min(SEVERAL[guess.mark])}"'
                yield (
                    f"“{guess.name}” has {guess.mark} in it, which stands for several currencies; "
                    f"say which, as in {example}."
                )

    def refusals(self, file: str) -> Iterator[Problem]:
        """A currency that the producer says and that is none."""
        if self.given is not None and self.given not in CURRENCIES:
            expected = "a currency code of ISO 4217, as in USD"
            yield Problem(file, expected, f"“{self.given}”", key="--currency")

    def questions(self, place: str) -> Iterator[Problem]:
        """The line's currency, where the sheet does not state one alone."""
        if self.currency is None:
            found = "none in the sheet"
            if self.stated:
                found = f"several in the sheet ({', '.join(self.stated)})"
            yield Problem(place, "the currency you sell in, as in USD", found, key="--currency")


def line_money(
    sheet: Sheet, header: int, read: SheetColumns, titles: Titles, given: str | None
) -> LineMoney:
    """What the sheet states of currencies, held beside what the producer says."""
    stated = tuple(sorted(_stated(read, sheet, header) | set(titles.currencies)))
    code = given.strip().upper() if given else None
    only = stated[0] if len(stated) == 1 else None
    return LineMoney(code or only, code, stated, read, titles)


def _stated(read: SheetColumns, sheet: Sheet, header: int) -> set[str]:
    """Every currency that the columns and their cells state, those kept as they are among them."""
    found = {guess.currency for guess in read.guesses if guess.currency}
    kept = [guess.name for guess in read.of("keep") if not _WORDY.search(guess.name)]
    found |= {code for name in kept if (code := currency_in(name))}
    for guess in read.of("currency"):
        texts = [row[guess.at] for _, row in data_rows(sheet, header) if not is_total(row)]
        found |= {code for text in texts if (code := currency_in(text.upper()))}
    return found
