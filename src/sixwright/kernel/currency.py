"""Money, exact: an amount as a rational number, in a currency of ISO 4217."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Self

from sixwright.kernel.errors import InputError

# ISO 4217:2015, amended to 2025: minor units that are not 2. Held against a general-purpose
# library's copy of the standard in tests/kernel/test_against_iso_4217.py.
MINOR_UNITS_NOT_TWO = {
    **dict.fromkeys(
        "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF".split(), 0
    ),
    **dict.fromkeys("BHD IQD JOD KWD LYD OMR TND".split(), 3),
    **dict.fromkeys("CLF UYW".split(), 4),
}
CURRENCIES = frozenset(
    """
    AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BOV BRL BSD BTN BWP
    BYN BZD CAD CDF CHE CHF CHW CLF CLP CNY COP COU CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB
    EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD
    JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP
    MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR
    RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND
    TOP TRY TTD TWD TZS UAH UGX USD USN UYI UYU UYW UZS VED VES VND VUV WST XAF XCD XOF XPF YER
    ZAR ZMW
    """.split()
)


# Marks of one currency, and those that may stand for several.
SIGNS = {"€": "EUR", "£": "GBP", "RMB": "CNY", "US$": "USD", "HK$": "HKD", "CN¥": "CNY"}
SEVERAL = {
    "$": frozenset("USD AUD CAD HKD NZD SGD TWD MXN CLP COP BRL ARS".split()),
    "¥": frozenset({"CNY", "JPY"}),
}


def currency_named(mark: str, usual: str | None) -> str | None:
    """The currency that a code or a sign names; None where it names none, or may name several.

    Parameters
    ----------
    mark
        As in ``USD``, ``usd``, ``€`` or ``$``.
    usual
        The currency that money beside it is in: a sign of several names it, if it is one of them.

    Source
    ------
    ISO 4217:2015; signs: common practice, no source.
    """
    sign = mark.replace("￥", "¥")
    if sign.upper() in CURRENCIES:
        return sign.upper()
    if sign.upper() in SIGNS:
        return SIGNS[sign.upper()]
    return usual if usual in SEVERAL.get(sign, ()) else None


def minor_units(currency: str) -> int:
    """Decimal places that `currency` is stated to.

    Parameters
    ----------
    currency
        An alphabetic code of ISO 4217, upper case.

    Raises
    ------
    InputError
        If the code is not an active currency.

    Source
    ------
    ISO 4217:2015, list one.
    """
    if currency not in CURRENCIES:
        raise InputError(f"currency must be a code of ISO 4217; received {currency!r}.")
    return MINOR_UNITS_NOT_TWO.get(currency, 2)


def round_half_even(value: Fraction) -> int:
    """The nearest whole number; a half goes to the even one."""
    return round(value)


@dataclass(frozen=True, slots=True)
class Money:
    """An exact amount in one currency; it refuses to mix with another.

    Attributes
    ----------
    amount
        Exact, in major units.
    currency
        A code of ISO 4217.
    guess
        From what to what it may lie, in major units, where it was stated as a guess; sums and
        multiples of it are plain amounts.
    """

    amount: Fraction
    currency: str
    guess: tuple[Fraction, Fraction] | None = None

    def __post_init__(self) -> None:
        minor_units(self.currency)

    def _same(self, other: "Money") -> None:
        if other.currency != self.currency:
            raise InputError(
                f"currency must be {self.currency} to be combined; received {other.currency!r}."
            )

    def __add__(self, other: "Money") -> "Money":
        """Exact sum of two amounts of one currency."""
        self._same(other)
        return Money(self.amount + other.amount, self.currency)

    def __sub__(self, other: "Money") -> "Money":
        """Exact difference of two amounts of one currency."""
        self._same(other)
        return Money(self.amount - other.amount, self.currency)

    def __mul__(self, factor: Fraction | int) -> "Money":
        """Exact multiple; a float is refused, because it is not exact."""
        if isinstance(factor, float):
            raise InputError(f"factor must be exact; received the float {factor!r}.")
        return Money(self.amount * factor, self.currency)

    __rmul__ = __mul__

    def __neg__(self) -> "Money":
        """The same amount owed instead of owned."""
        return Money(-self.amount, self.currency)

    @property
    def minor(self) -> int:
        """The amount stated in minor units (cents), rounded half to even."""
        return round_half_even(self.amount * 10 ** minor_units(self.currency))

    def rounded(self) -> Self:
        """The amount as a document states it: to the minor unit, half to even."""
        places = 10 ** minor_units(self.currency)
        return type(self)(Fraction(self.minor, places), self.currency)


def decimal_text(value: Fraction, places: int = 12) -> str:
    """A fraction as plain decimal text: exact where it ends, else to `places`, half to even."""
    scaled = round_half_even(value * 10**places)
    sign = "-" if scaled < 0 else ""
    whole, rest = divmod(abs(scaled), 10**places)
    digits = f"{rest:0{places}d}".rstrip("0")
    return f"{sign}{whole}.{digits}" if digits else f"{sign}{whole}"


def stated_parts(parts: Sequence[Fraction], *, places: int) -> tuple[Fraction, ...]:
    """Parts of a sum, rounded so that they add up to the rounded sum.

    What rounding leaves goes to the largest part, so that equal small parts of two sums are
    stated alike.

    Parameters
    ----------
    parts
        Exact amounts.
    places
        Decimal places that the document states.

    Returns
    -------
    tuple of Fraction
        One a part, each rounded on its own, half to even; the largest takes up the rest.

    Raises
    ------
    InputError
        If `places` is negative.

    Source
    ------
    Own choice: docs/topics/money.md, “The method”; of two that are as large, the earlier.
    """
    if places < 0:
        raise InputError(f"places must be at least 0; received {places!r}.")
    unit = 10**places
    stated = [round_half_even(part * unit) for part in parts]
    rest = round_half_even(sum(parts, Fraction(0)) * unit) - sum(stated)
    if rest:
        stated[max(range(len(parts)), key=lambda i: abs(parts[i]))] += rest
    return tuple(Fraction(count, unit) for count in stated)
