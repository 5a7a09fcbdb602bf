"""What the line-up's rules rest on."""

from sixwright.kernel.sources import Source

CONTENTS = Source(
    key="contents-in-full",
    title="Own choice: the contents of each box are written in full",
    note="A set with rows of its own contains those; without any, the sum of its editions.",
)
JOINTS = Source(
    key="joints",
    title="Common practice, no source: a head goes on a neck of its own size",
    note="Joint names are the producer's own (neck-8); the number tells two sizes apart.",
)
GRIPS = Source(
    key="grips",
    title="Common practice, no source: a hand is sculpted for what it grips",
    note="Compares the words in the columns grips and held; it knows no shapes.",
)
PROMISE = Source(
    key="announced",
    title="Own choice: what was said in public is counted against what the box contains",
)
FILES = Source(
    key="left-aside",
    title="Own choice: what a folder contains and nobody reads is named",
    note="By its name or its columns; a lost column by what edits wrote in it.",
)
SOURCES = (CONTENTS, JOINTS, GRIPS, PROMISE, FILES)
