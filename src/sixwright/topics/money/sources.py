"""What the money of a line rests on."""

from sixwright.kernel.sources import Source

DEFINITION = Source(
    key="money-definition",
    title="Own choice: “What must it sell for?” in the manual defines every amount",
    note="Spares and surplus are charged to the boxes that use a part, by pieces used.",
)
QUOTE = Source(
    key="quote",
    title="The maker's quote as entered: minimum, breaks, last day",
    note="A quote past its last day no longer binds its maker; common practice, no source.",
)
BREAK_EVEN = Source(
    key="break-even",
    title="Break-even: fixed costs ÷ (price − variable cost), here with stairs",
    locator="Horngren, Datar and Rajan, Cost Accounting, cost-volume-profit analysis (from memory)",
    note="All orders grow and shrink together; quotes are read again at each size.",
)
RATE = Source(
    key="rate-spread",
    title="Own choice: a rate's spread is the half-width of its 95 % interval",
    note="Rates are taken as independent; linear effects add as root sum of squares.",
)
SOURCES = (DEFINITION, QUOTE, BREAK_EVEN, RATE)
