"""What the rules of care rest on, and what each source does not cover.

None of the paid standards was read for this; where a text was not seen itself, the note says so.
"""

from sixwright.kernel.sources import Source

ASKED = Source(
    key="hazards-asked",
    title="Own choice: what could hurt is stated for each part, and asked where words suggest it",
    note="Words of kind, name, way, process and notes are looked at; nothing is taken from a mesh.",
)
MAGNETS = Source(
    key="16-cfr-1262",
    title="16 CFR part 1262, safety standard for magnets (United States)",
    note="Loose or separable magnets that fit the small-parts cylinder must have a flux index "
    "below 50 kG²·mm². How it is measured (ASTM F963, 8.25) is from memory.",
)
CELLS = Source(
    key="16-cfr-1263",
    title="16 CFR part 1263 with UL 4200A-2023, button cell and coin batteries (United States)",
    note="A compartment opens with a tool or by two independent movements at once; drop, impact, "
    "crush, torque, tension and compression tests; warnings.",
)
POINTS = Source(
    key="16-cfr-1500-48",
    title="16 CFR 1500.48, sharp points (United States)",
    note="Articles for children under eight. The dimensions of the gauge are from memory.",
)
EDGES = Source(
    key="16-cfr-1500-49",
    title="16 CFR 1500.49, sharp metal or glass edges (United States)",
    note="Articles for children under eight. The details of the tape test are from memory.",
)
SMALL_PARTS = Source(
    key="16-cfr-1501",
    title="16 CFR part 1501, small parts (United States)",
    note="Articles for children under three. Dimensions in inches decide; those in mm are rounded.",
)
PRACTICE = Source(
    key="cautions",
    title="Common practice, no source: the usual cautions stand where the hazard is",
    note="Local codes and accredited testing decide.",
)
FIELD = Source(
    key="disc-magnet",
    title="Field of a uniformly magnetised disc, as of two discs of magnetic charge (textbook)",
    note="Remanence of each grade as two makers of magnets publish it. Soft iron nearby is left "
    "out.",
)
SOURCES = (ASKED, MAGNETS, FIELD, CELLS, POINTS, EDGES, SMALL_PARTS, PRACTICE)
