"""The only place where values become text for people: numbers, money, dates, whole sentences.

The words are English; how numbers, money and dates are written follows the line's locale.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cache, lru_cache
from string import Formatter
from typing import Any

from sixwright.kernel.currency import Money, minor_units, round_half_even
from sixwright.kernel.intervals import Real
from sixwright.kernel.sentences import (
    Count,
    Day,
    Measure,
    Name,
    Names,
    Sentence,
    Share,
    Value,
    Whole,
)
from sixwright.reports.leaving import markup

MINUS = "\N{MINUS SIGN}"
SPACE = "\N{NO-BREAK SPACE}"
# Units that stand against their number without a space.
CLOSE_UNITS = frozenset({"°", "′", "″"})
SPELLED = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of text; `strong` where it is a name."""

    text: str
    strong: bool = False


def say(sentence: Sentence, locale: str) -> str:
    """The sentence as plain text.

    Parameters
    ----------
    sentence
        A template and its values.
    locale
        As in line.toml: ``en-GB``. One that is not known is read as ``en-GB``.
    """
    return "".join(run.text for run in runs(sentence, locale))


def say_html(sentence: Sentence, locale: str) -> str:
    """The sentence as HTML: escaped, names in bold."""
    return "".join(
        f"<b>{markup(run.text)}</b>" if run.strong else markup(run.text)
        for run in runs(sentence, locale)
    )


def runs(sentence: Sentence, locale: str) -> tuple[Run, ...]:
    """The sentence as stretches of text, so that each medium marks the names its own way."""
    return tuple(_runs(sentence, locale))


def _runs(sentence: Sentence, locale: str) -> Iterator[Run]:
    for literal, field, _, _ in Formatter().parse(sentence.template):
        if literal:
            yield Run(literal)
        if field is not None:
            yield from _value_runs(sentence.values[field], locale)


def _value_runs(value: Value, locale: str) -> Iterator[Run]:
    match value:
        case Name(text):
            yield Run(text, strong=True)
        case Names(texts):
            comma, last = _between(texts)
            for i, text in enumerate(texts):
                if i:
                    yield Run(last if i == len(texts) - 1 else comma)
                yield Run(text, strong=True)
        case _:
            yield Run(text_of(value, locale))


def text_of(value: Value | float, locale: str) -> str:
    """One value as plain text.

    Raises
    ------
    TypeError
        If the value is of no type that people can be shown.
    """
    for kind, write in _WRITERS:
        if isinstance(value, kind):
            return write(value, locale)
    raise TypeError(f"value must be one that sentences hold; received {value!r}.")


def _count(value: Count, locale: str) -> str:
    named = value.one if value.value == 1 else value.many or value.one
    return f"{number(value.value, locale)} {named}".rstrip()


def _measure(value: Measure, locale: str) -> str:
    return with_unit(number(value.value, locale, digits=value.digits), value.unit)


def _share(value: Share, locale: str) -> str:
    return with_unit(number(_exact(value.value) * 100, locale, digits=value.digits), "%")


def joined(texts: tuple[str, ...]) -> str:
    """Several texts as English joins them: A, B and C; with a comma in one, A; B, b; and C."""
    comma, and_ = _between(texts)
    *most, last = texts or ("none",)
    return f"{comma.join(most)}{and_}{last}" if most else last


def _between(texts: tuple[str, ...]) -> tuple[str, str]:
    """What stands between the texts of a list, and before the last of them."""
    apart = any(", " in text and not text.startswith("“") for text in texts)
    return ("; ", "; and ") if apart else (", ", " and ")


def with_unit(text: str, unit: str) -> str:
    """A number and its unit, kept on one line."""
    if not unit:
        return text
    return text + unit if unit in CLOSE_UNITS else f"{text}{SPACE}{unit}"


@lru_cache(maxsize=16_384)
def number(value: Real, locale: str, *, digits: int = 0) -> str:
    """A number with so many digits after the point, grouped as the locale groups.

    A tie goes to the even digit; a true minus sign stands before a negative one, and a value
    that rounds to nothing has no sign.
    """
    from babel.numbers import format_decimal

    scaled = round_half_even(_exact(value) * 10**digits)
    exact = Decimal(abs(scaled)).scaleb(-digits)
    name = _locale(locale)
    with localcontext(prec=len(str(scaled)) + 6):  # else very long numbers cannot be quantized
        shown = format_decimal(exact, format=_pattern(name, digits), locale=name)
    return f"{MINUS}{shown}" if scaled < 0 else str(shown)


@cache
def _pattern(locale: str, digits: int) -> str:
    """The locale's own grouping, with so many digits after the point."""
    from babel.core import Locale

    whole = str(Locale.parse(locale).decimal_formats[None].pattern).partition(".")[0]
    return f"{whole}.{'0' * digits}" if digits else whole


def plain(value: Real, locale: str, *, most_digits: int = 2) -> str:
    """A number with no more digits after the point than it needs, at most `most_digits`."""
    exact = _exact(value)
    digits = next((n for n in range(most_digits) if (exact * 10**n).denominator == 1), most_digits)
    return number(exact, locale, digits=digits)


def money(amount: Money, locale: str, *, digits: int | None = None) -> str:
    """An amount and then its currency's code, to the minor unit or to `digits`."""
    places = minor_units(amount.currency) if digits is None else digits
    return f"{number(amount.amount, locale, digits=places)}{SPACE}{amount.currency}"


def bare(amount: Money, locale: str, *, digits: int | None = None) -> str:
    """An amount without its code, for columns whose head names the currency."""
    places = minor_units(amount.currency) if digits is None else digits
    return number(amount.amount, locale, digits=places)


def day(value: date, locale: str) -> str:
    """A date with its month in letters: no order of figures to misread."""
    from babel.dates import format_date

    return str(format_date(value, "long", locale=_locale(locale)))


def _short_day(value: Day, locale: str) -> str:
    from babel.dates import format_date

    return str(format_date(value.date, "medium", locale=_locale(locale))).replace(" ", SPACE)


def weekday(value: date, locale: str) -> str:
    """A date with its weekday and without its year, as a diary's page is headed."""
    from babel.dates import format_date

    full = "EEEE, MMMM d" if _locale(locale) == "en_US" else "EEEE, d MMMM"
    return str(format_date(value, full, locale=_locale(locale)))


def spelled(count: int) -> str:
    """A small count in letters, as prose has it; larger ones in figures."""
    return SPELLED[count] if 0 <= count < len(SPELLED) else str(count)


def _exact(value: Real) -> Fraction:
    return Fraction(str(value)) if isinstance(value, float) else Fraction(value)


@cache
def _locale(name: str) -> str:
    """The locale as babel names it; British where it is not known."""
    from babel.core import Locale, UnknownLocaleError

    try:
        return str(Locale.parse(name, sep="-"))
    except (UnknownLocaleError, ValueError):
        return "en_GB"


_WRITERS: tuple[tuple[type | tuple[type, ...], Callable[[Any, str], str]], ...] = (
    (str, lambda value, _: value),
    (Name, lambda value, _: value.text),
    (Names, lambda value, _: joined(value.texts)),
    (Count, _count),
    (Measure, _measure),
    (Share, _share),
    (Money, money),
    (Whole, lambda value, locale: money(value.money, locale, digits=0)),
    (date, day),
    (Day, _short_day),
    ((Fraction, int, float), plain),
)
