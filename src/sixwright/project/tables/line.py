"""What line.toml holds: the line's own keys, looks, editions, sets and rates of exchange."""

from sixwright.project.columns import ABOVE_0, BELOW_1, Cell, Column, Table, Tables
from sixwright.project.tables.repeated import ID, NAME

FILE = "line.toml"
_SOLD = (
    Column(
        "price",
        Cell.MONEY,
        label="Price",
        asked=True,
        meaning="what the box sells for, with its currency or in the line’s",
    ),
    Column(
        "cap",
        Cell.COUNT,
        label="At most",
        meaning="the most boxes that will be made",
        empty="no limit",
    ),
    Column(
        "assembly_minutes",
        Cell.NUMBER,
        unit="minutes",
        label="Assembly, minutes",
        meaning="minutes to assemble one box",
    ),
    Column(
        "box_mm",
        Cell.SIZE3,
        unit="mm",
        label="Box outside, mm",
        meaning="outside length, width and height of the box",
    ),
    Column(
        "figures",
        Cell.COUNT,
        label="Figures",
        asked=True,
        meaning="how many figures are in the box: a set of two says 2, a pack of heads 0",
    ),
    Column(
        "public",
        Cell.PUBLIC,
        label="Announced",
        meaning="what was announced: so many pieces of the parts of one group",
    ),
)

LINE = Tables(
    "`line.toml`",
    "The line itself, and what is sold. [A JSON Schema](line.schema.json) lets an editor complete "
    "and check it.",
    (
        Table(
            "line",
            FILE,
            (),
            (
                Column(
                    "format",
                    Cell.COUNT,
                    required=True,
                    fixed=True,
                    meaning="the version of the folder’s layout; 1 is the only one there is",
                ),
                Column(
                    "id",
                    Cell.ID,
                    required=True,
                    fixed=True,
                    meaning="a short name of the line",
                ),
                Column(
                    "name",
                    Cell.TEXT,
                    required=True,
                    label="Name of the line",
                    meaning="the name of the line, as people read it",
                ),
                Column(
                    "scale",
                    Cell.SCALE,
                    required=True,
                    meaning="how many millimetres of the person one millimetre of the figure "
                    "stands for, as in 1:6",
                ),
                Column(
                    "currency",
                    Cell.CURRENCY,
                    required=True,
                    label="Currency",
                    meaning="the currency the boxes are sold in and all sums are stated in "
                    "(ISO 4217)",
                ),
                Column(
                    "locale",
                    Cell.LOCALE,
                    label="Locale",
                    meaning="the language and country that numbers and dates are written in",
                    empty="en-GB",
                ),
                Column(
                    "seed",
                    Cell.COUNT,
                    fixed=True,
                    meaning="the whole number that every simulation starts from; the same seed "
                    "gives the same draws",
                    empty="0",
                ),
            ),
            required=True,
            one="line",
            title="The line and its house rules",
            meaning="The line itself, and the rules of the house.",
            called="the line",
            always=True,
        ),
        Table(
            "looks",
            FILE,
            ("id",),
            (ID, NAME),
            one="look",
            title="Looks",
            meaning="The looks of the character: one design each.",
            always=True,
        ),
        Table(
            "editions",
            FILE,
            ("id",),
            (
                ID,
                Column(
                    "look",
                    Cell.ID,
                    refers=("looks",),
                    label="Look",
                    asked=True,
                    meaning="the look that it shows",
                ),
                NAME,
                Column(
                    "extends",
                    Cell.ID,
                    refers=("editions",),
                    label="Extends",
                    meaning="the edition that this one contains all of, packing and stand aside",
                ),
                *_SOLD,
            ),
            one="edition",
            title="Editions",
            meaning="The boxes that are sold, each with a price.",
            one_currency=True,
            always=True,
        ),
        Table(
            "sets",
            FILE,
            ("id",),
            (
                ID,
                NAME,
                Column(
                    "editions",
                    Cell.WORDS,
                    refers=("editions",),
                    label="Editions in it",
                    asked=True,
                    meaning="the editions that are sold together",
                ),
                *_SOLD,
            ),
            one="set",
            title="Sets",
            meaning="Several editions sold as one.",
            one_currency=True,
            always=True,
        ),
        Table(
            "rates",
            FILE,
            ("currency",),
            (
                Column(
                    "currency",
                    Cell.CURRENCY,
                    required=True,
                    meaning="a currency that makers quote in (ISO 4217)",
                ),
                Column(
                    "per_unit",
                    Cell.NUMBER,
                    label="Per 1 {currency}",
                    allowed=ABOVE_0,
                    asked=True,
                    meaning="how many of it buy one unit of the line’s currency",
                ),
                Column(
                    "spread",
                    Cell.SHARE,
                    label="Spread, 95 %",
                    allowed=BELOW_1,
                    meaning="the relative half-width of the rate’s 95 % interval: 0.02 is ± 2 %",
                    empty="0",
                ),
            ),
            one="rate",
            title="Rates of exchange",
            meaning="What the makers’ currencies are worth.",
            always=True,
        ),
    ),
)
