"""What the folder's tables and columns are: the one list that reading, editing and export use.

Tables whose `file` is ``line.toml`` are its arrays of tables (`looks`, `editions`, `sets`,
`rates`) and `line`, which is its single-valued keys as one row with the id ``line`` and dotted
columns (``money.labour.rate``). Everywhere else a table is a CSV file.
"""

from sixwright.kernel.intervals import Verdict
from sixwright.line.boxes import KINDS
from sixwright.project.columns import Cell, Column, Table
from sixwright.project.tables_dates import DATES_KEYS, DATES_TABLES
from sixwright.project.tables_likeness import LIKENESS_TABLES
from sixwright.project.tables_voices import VOICES_TABLES

__all__ = ["BY_NAME", "TABLES", "Cell", "Column", "Table"]

VERDICTS = tuple(str(verdict) for verdict in Verdict)
_ID = Column("id", Cell.ID, required=True, label="Id")
_NAME = Column("name", Cell.TEXT, label="Name")
_SOLD = (
    Column("price", Cell.MONEY, label="Price"),
    Column("cap", Cell.COUNT, label="At most"),
    Column("assembly_minutes", Cell.NUMBER, unit="minutes", label="Assembly, minutes"),
    Column("box_mm", Cell.SIZE3, unit="mm", label="Box outside, mm"),
    Column("figures", Cell.COUNT, label="Figures"),
    Column("public", Cell.PUBLIC, label="Announced"),
)

TABLES: tuple[Table, ...] = (
    Table(
        "line",
        "line.toml",
        (),
        (
            Column("format", Cell.COUNT, required=True),
            Column("id", Cell.ID, required=True),
            Column("name", Cell.TEXT, required=True, label="Name of the line"),
            Column("scale", Cell.SCALE, required=True),
            Column("currency", Cell.CURRENCY, required=True, label="Currency"),
            Column("locale", Cell.LOCALE, label="Locale"),
            Column("seed", Cell.COUNT),
            Column("money.development", Cell.MONEY, label="Development"),
            Column("money.spares", Cell.SHARE, label="Spares"),
            Column("money.overhead", Cell.SHARE, label="Overhead"),
            Column("money.duty", Cell.SHARE, label="Duty"),
            Column("money.reserve", Cell.SHARE, label="Reserve"),
            Column("money.margin_least", Cell.NUMBER, label="Least margin after the fixed share"),
            Column("money.surplus_most", Cell.MONEY, label="Most tied up in one part"),
            Column("money.labour.rate", Cell.RATE_H, label="Labour"),
            Column("money.fees.share", Cell.SHARE, label="Payment fee, share"),
            Column("money.fees.each", Cell.MONEY, label="Payment fee, each"),
            Column("money.freight.per_m3", Cell.MONEY, label="Freight a cubic metre"),
            Column("money.freight.volume_factor", Cell.NUMBER, label="Freight volume factor"),
            Column("money.freight.each", Cell.MONEY, label="Freight, each"),
            Column("voices.asked_least", Cell.COUNT, label="Voters who need an answer"),
            Column("voices.names", Cell.CHOICE, choices=("keep", "hash"), label="Voters’ names"),
            *DATES_KEYS,
        ),
        required=True,
    ),
    Table("looks", "line.toml", ("id",), (_ID, _NAME)),
    Table(
        "editions",
        "line.toml",
        ("id",),
        (
            _ID,
            Column("look", Cell.ID, refers=("looks",), label="Look"),
            _NAME,
            Column("extends", Cell.ID, refers=("editions",), label="Extends"),
            *_SOLD,
        ),
    ),
    Table(
        "sets",
        "line.toml",
        ("id",),
        (
            _ID,
            _NAME,
            Column("editions", Cell.WORDS, refers=("editions",), label="Editions in it"),
            *_SOLD,
        ),
    ),
    Table(
        "rates",
        "line.toml",
        ("currency",),
        (
            Column("currency", Cell.CURRENCY, required=True),
            Column("per_unit", Cell.NUMBER, label="Buys one unit"),
            Column("spread", Cell.SHARE, label="Spread, 95 %"),
        ),
    ),
    Table(
        "parts",
        "parts.csv",
        ("id",),
        (
            _ID,
            Column("kind", Cell.KIND, required=True, choices=KINDS, label="Kind"),
            Column("look", Cell.ID, refers=("looks",), also=("all",), label="Look"),
            _NAME,
            Column("group", Cell.ID, label="Group"),
            Column("fits", Cell.WORDS, label="Fits"),
            Column("takes", Cell.WORDS, label="Takes"),
            Column("grips", Cell.WORDS, label="Grips"),
            Column("held", Cell.WORDS, label="Held as"),
            Column("way", Cell.ID, refers=("ways",), label="Way"),
            Column("mass_g", Cell.NUMBER, unit="g", label="Mass, g"),
            Column("length_mm", Cell.NUMBER, unit="mm", label="Length, mm"),
            Column("width_mm", Cell.NUMBER, unit="mm", label="Width, mm"),
            Column("height_mm", Cell.NUMBER, unit="mm", label="Height, mm"),
            Column("note", Cell.TEXT, label="Note"),
        ),
        required=True,
    ),
    Table(
        "contents",
        "contents.csv",
        ("sells", "part"),
        (
            Column("sells", Cell.ID, required=True, refers=("editions", "sets"), label="Box"),
            Column("part", Cell.ID, required=True, refers=("parts",), label="Part"),
            Column("quantity", Cell.COUNT, label="Pieces"),
            Column("optional", Cell.BOOLEAN, label="Optional"),
            Column("note", Cell.TEXT, label="Note"),
        ),
        required=True,
    ),
    Table(
        "orders",
        "orders.csv",
        ("sells",),
        (
            Column("sells", Cell.ID, required=True, refers=("editions", "sets"), label="Box"),
            Column("quantity", Cell.COUNT, label="Orders assumed"),
            Column("note", Cell.TEXT, label="Note"),
        ),
    ),
    Table(
        "ways",
        "ways.csv",
        ("id",),
        (
            _ID,
            Column("part", Cell.ID, required=True, refers=("parts",), label="Part"),
            Column("maker", Cell.TEXT, label="Maker"),
            Column("process", Cell.TEXT, label="Process"),
            Column("currency", Cell.CURRENCY, label="Currency"),
            Column("tool", Cell.ID, label="Tool"),
            Column("tooling", Cell.MONEY, label="Tooling"),
            Column("minimum", Cell.COUNT, label="Minimum"),
            Column("yield", Cell.SHARE, label="Yield"),
            Column("minutes", Cell.NUMBER, unit="minutes", label="Minutes a piece"),
            Column("lead_days", Cell.COUNT, label="Lead, days"),
            Column("valid_until", Cell.DATE, label="Quote valid until"),
            Column("note", Cell.TEXT, label="Note"),
        ),
    ),
    Table(
        "prices",
        "prices.csv",
        ("way", "from_quantity"),
        (
            Column("way", Cell.ID, required=True, refers=("ways",), label="Way"),
            Column("from_quantity", Cell.COUNT, required=True, label="From"),
            Column("unit_price", Cell.MONEY, label="Price a piece"),
            Column("note", Cell.TEXT, label="Note"),
        ),
    ),
    *LIKENESS_TABLES,
    *VOICES_TABLES,
    *DATES_TABLES,
    Table(
        "accepted",
        "accepted.csv",
        ("finding",),
        (
            Column("finding", Cell.TEXT, required=True),
            Column("by", Cell.TEXT, required=True),
            Column("date", Cell.DATE, required=True),
            Column("reason", Cell.TEXT, required=True),
            Column("verdict", Cell.CHOICE, choices=VERDICTS),
            Column("value", Cell.TEXT),
            Column("low", Cell.TEXT),
            Column("high", Cell.TEXT),
        ),
    ),
)

BY_NAME = {table.name: table for table in TABLES}
