"""What a parts list does not say, written into line.toml as lines to be filled in.

Each is a comment, so that it is unknown until its producer takes the mark away.
"""

from collections.abc import Iterable, Iterator

LOCALE = (
    "# The language and country in whose manner numbers and dates are written; without it, en-GB.",
    '#locale = "de-DE"',
)

_LEAD = """\
# The rules of the house. No parts list states them, so none is filled in: what is left out is
# unknown, never zero. To fill one in, take away the # before it and before the [name] above it,
# and put your own number in place of the example's.
"""

_RULES = """\
#[money]
# What is paid once for the whole line, tooling aside: sculpting, test shots, pictures.
#development = "12000 {currency}"
# Pieces bought beyond what the boxes need, as a share of the need, for breakage and returns.
#spares = 0.03
# Your running costs, as a share of parts and labour.
#overhead = 0.08
# Customs duty, as a share of the ex-works cost; ask your customs broker.
#duty = 0.10
# Put aside from every sale for claims and mishaps, as a share of the price.
#reserve = 0.03
# The least that must be left of a price after the fixed costs, as a share of it; 0 is no loss.
#margin_least = 0.10
# The most that may lie in unsold pieces of one part, because its maker sets a minimum.
#surplus_most = "1500 {currency}"
# From what to what of its price a quote past its last day may be renewed.
#expired = [0.8, 1.5]
# The least saving that is worth a mention.
#chance_least = "25 {currency}"

# What an hour of assembly and painting costs.
#[money.labour]
#rate = "20 {currency}/h"

# What the payment service keeps: a share of the price, and an amount for each sale.
#[money.fees]
#share = 0.03
#each = "0.30 {currency}"

# What a cubic metre costs to ship; how much more room boxes take than their own volume; and
# what each box costs to ship besides.
#[money.freight]
#per_m3 = "210 {currency}"
#volume_factor = 1.2
#each = "1.20 {currency}"
"""

_RATE = """\
# How many {foreign} buy one {currency}, and within what share of that it stays 95 times of 100.
#[[rates]]
#currency = "{foreign}"
#per_unit = 5.00
#spread = 0.02
"""

_EDITION = """\
# What it is sold for.
#price = "199 {currency}"
# Length, width and height of the packed box outside, in mm.
#box_mm = [340, 240, 90]
# Minutes that it takes to put one box together.
#assembly_minutes = 30
# How many figures are in it: they share the fixed costs; a pack of heads has 0.
#figures = 1
"""


def rules(currency: str, foreign: Iterable[str]) -> Iterator[str]:
    """The rules of the house as lines of line.toml, and a rate for each foreign currency."""
    yield ""
    yield from _LEAD.splitlines()
    yield ""
    yield from _RULES.format(currency=currency).splitlines()
    for code in foreign:
        yield ""
        yield from _RATE.format(currency=currency, foreign=code).splitlines()


def of_edition(currency: str, figures: str | None = None) -> Iterator[str]:
    """What is to be filled in of an edition; its figures stand there where they were counted."""
    text = _EDITION.format(currency=currency)
    if figures is not None:
        text = text.replace("#figures = 1", f"figures = {figures}")
    yield from text.splitlines()
