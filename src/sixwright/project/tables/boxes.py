"""What is in each box: parts, contents, and the orders assumed."""

from sixwright.line.boxes import HAZARDS, KINDS, NO_HAZARD
from sixwright.project.columns import UNKNOWN, CellType, ColumnSchema, SchemaGroup, TableSchema
from sixwright.project.tables.repeated import BOX, ID, NAME, NOTE


def _size(name: str, what: str) -> ColumnSchema:
    label = f"{what.capitalize()}, mm"
    return ColumnSchema(
        name, CellType.NUMBER, unit="mm", label=label, meaning=f"{what} of one piece"
    )


BOXES = SchemaGroup(
    "The tables of the boxes",
    "How they are used is in [topics/lineup.md](topics/lineup.md).",
    (
        TableSchema(
            "parts",
            "parts.csv",
            ("id",),
            (
                ID,
                ColumnSchema(
                    "kind",
                    CellType.KIND,
                    required=True,
                    choices=KINDS,
                    label="Kind",
                    meaning="what kind of thing it is",
                ),
                ColumnSchema(
                    "look",
                    CellType.ID,
                    refers=("looks",),
                    also=("all",),
                    label="Look",
                    asked=True,
                    meaning="the look it belongs to, or `all`",
                    empty="all",
                ),
                NAME,
                ColumnSchema(
                    "group",
                    CellType.ID,
                    label="Group",
                    meaning="parts that buyers count as one thing, as in `keys`",
                ),
                ColumnSchema(
                    "fits",
                    CellType.WORDS,
                    label="Fits",
                    meaning="the joints that it goes onto or into: a head fits `neck-8`",
                ),
                ColumnSchema(
                    "takes",
                    CellType.WORDS,
                    label="Takes",
                    meaning="the joints that it offers: a body takes `neck-8 wrist-4`",
                ),
                ColumnSchema(
                    "grips",
                    CellType.WORDS,
                    label="Grips",
                    meaning="what a hand can grip, as in `key lantern`",
                ),
                ColumnSchema(
                    "held",
                    CellType.WORDS,
                    label="Held as",
                    meaning="what kind of thing it is to a hand, as in `key`",
                ),
                ColumnSchema(
                    "hazards",
                    CellType.WORDS,
                    choices=HAZARDS,
                    also=(NO_HAZARD,),
                    label="Hazards",
                    asked=True,
                    meaning="what of it can hurt somebody",
                    empty=UNKNOWN,
                ),
                ColumnSchema(
                    "way",
                    CellType.ID,
                    refers=("ways",),
                    label="Quote",
                    meaning="the quote it is made by, of those in `ways.csv`",
                    empty=UNKNOWN,
                ),
                ColumnSchema(
                    "mass_g",
                    CellType.NUMBER,
                    unit="g",
                    label="Mass, g",
                    meaning="mass of one piece",
                ),
                _size("length_mm", "length"),
                _size("width_mm", "width"),
                _size("height_mm", "height"),
                NOTE,
            ),
            required=True,
            one="part",
            title="Parts",
            meaning="One row a part, a thing in a box.",
            always=True,
        ),
        TableSchema(
            "contents",
            "contents.csv",
            ("sells", "part"),
            (
                BOX,
                ColumnSchema(
                    "part",
                    CellType.ID,
                    required=True,
                    refers=("parts",),
                    label="Part",
                    meaning="the part that lies in it",
                ),
                ColumnSchema(
                    "quantity",
                    CellType.COUNT,
                    label="Pieces",
                    asked=True,
                    meaning="pieces in one box",
                ),
                ColumnSchema(
                    "optional",
                    CellType.BOOLEAN,
                    label="Optional",
                    meaning="whether it may be left out; optional parts count in full",
                    empty="no",
                ),
                NOTE,
            ),
            required=True,
            one="piece in a box",
            title="Contents",
            meaning="What lies in each box. A set with rows of its own holds those; without any, "
            "the sum of its editions.",
            called="{part} in {sells}",
            always=True,
        ),
        TableSchema(
            "orders",
            "orders.csv",
            ("sells",),
            (
                BOX,
                ColumnSchema(
                    "quantity",
                    CellType.COUNT,
                    label="Orders assumed",
                    asked=True,
                    meaning="orders assumed",
                ),
                NOTE,
            ),
            one="number of orders",
            title="Orders",
            meaning="How many orders are assumed for each box.",
            called="{sells}",
            always=True,
        ),
    ),
)
