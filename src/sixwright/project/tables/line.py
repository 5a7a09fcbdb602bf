"""What line.toml holds: the line's own keys, looks, editions, sets and rates of exchange."""

from sixwright.project.columns import (
    ABOVE_0,
    BELOW_1,
    CellType,
    ColumnSchema,
    SchemaGroup,
    TableSchema,
)
from sixwright.project.tables.repeated import ID, NAME

FILE = "line.toml"
_SOLD = (
    ColumnSchema(
        "price",
        CellType.MONEY,
        label="Price",
        asked=True,
        meaning="what the box sells for, with its currency or in the line’s",
    ),
    ColumnSchema(
        "cap",
        CellType.COUNT,
        label="At most",
        meaning="the most boxes that will be made",
        empty="no limit",
    ),
    ColumnSchema(
        "assembly_minutes",
        CellType.NUMBER,
        unit="minutes",
        label="Assembly, minutes",
        meaning="minutes to assemble one box",
    ),
    ColumnSchema(
        "box_mm",
        CellType.SIZE3,
        unit="mm",
        label="Box outside, mm",
        meaning="outside length, width and height of the box",
    ),
    ColumnSchema(
        "figures",
        CellType.COUNT,
        label="Figures",
        asked=True,
        meaning="how many figures are in the box: a set of two says 2, a pack of heads 0",
    ),
    ColumnSchema(
        "public",
        CellType.PUBLIC,
        label="Announced",
        meaning="what was announced: so many pieces of the parts of one group",
    ),
)

LINE = SchemaGroup(
    "`line.toml`",
    "The line itself, and what is sold. [A JSON Schema](line.schema.json) lets an editor complete "
    "and check it.",
    (
        TableSchema(
            "line",
            FILE,
            (),
            (
                ColumnSchema(
                    "format",
                    CellType.COUNT,
                    required=True,
                    fixed=True,
                    meaning="the version of the folder’s layout; 1 is the only one there is",
                ),
                ColumnSchema(
                    "id",
                    CellType.ID,
                    required=True,
                    fixed=True,
                    meaning="a short name of the line",
                ),
                ColumnSchema(
                    "name",
                    CellType.TEXT,
                    required=True,
                    label="Name of the line",
                    meaning="the name of the line, as people read it",
                ),
                ColumnSchema(
                    "scale",
                    CellType.SCALE,
                    required=True,
                    label="Scale",
                    meaning="how many millimetres of the person one millimetre of the figure "
                    "stands for, as in 1:6",
                ),
                ColumnSchema(
                    "currency",
                    CellType.CURRENCY,
                    required=True,
                    label="Currency",
                    meaning="the currency the boxes are sold in and all sums are stated in "
                    "(ISO 4217)",
                ),
                ColumnSchema(
                    "locale",
                    CellType.LOCALE,
                    label="Locale",
                    meaning="the language and country that numbers and dates are written in",
                    empty="en-GB",
                ),
                ColumnSchema(
                    "seed",
                    CellType.COUNT,
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
        TableSchema(
            "looks",
            FILE,
            ("id",),
            (ID, NAME),
            one="look",
            title="Looks",
            meaning="The looks of the character: one design each.",
            always=True,
        ),
        TableSchema(
            "editions",
            FILE,
            ("id",),
            (
                ID,
                ColumnSchema(
                    "look",
                    CellType.ID,
                    refers=("looks",),
                    label="Look",
                    asked=True,
                    meaning="the look that it shows",
                ),
                NAME,
                ColumnSchema(
                    "extends",
                    CellType.ID,
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
        TableSchema(
            "sets",
            FILE,
            ("id",),
            (
                ID,
                NAME,
                ColumnSchema(
                    "editions",
                    CellType.WORDS,
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
        TableSchema(
            "rates",
            FILE,
            ("currency",),
            (
                ColumnSchema(
                    "currency",
                    CellType.CURRENCY,
                    required=True,
                    label="Currency",
                    meaning="a currency that makers quote in (ISO 4217)",
                ),
                ColumnSchema(
                    "per_unit",
                    CellType.NUMBER,
                    label="Per 1 {currency}",
                    allowed=ABOVE_0,
                    asked=True,
                    meaning="how many of it buy one unit of the line’s currency",
                ),
                ColumnSchema(
                    "spread",
                    CellType.SHARE,
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
