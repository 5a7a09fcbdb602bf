"""The rules of law and standards that bear on a collectors' figure, as data.

Each says where it holds, in which edition we know it, what it does not cover, and how sure we are
of its wording. They change: each bears the day on which it was taken down here.
"""

import datetime as dt
from dataclasses import dataclass
from enum import StrEnum

TAKEN_DOWN = dt.date(2026, 11, 25)


class Sure(StrEnum):
    """How its wording is known."""

    TEXT = "read in its text"
    QUOTED = "read where others quote it"
    MEMORY = "from memory, not read"


@dataclass(frozen=True, slots=True)
class Regulation:
    """One rule.

    Attributes
    ----------
    key, title
        Stable name; and how it is cited.
    jurisdiction
        Where it holds.
    edition
        The edition or the state of the text.
    says, leaves_out
        What it asks for, and what it does not cover.
    hazards
        Words of `HAZARDS` that it bears on; none: it bears on all.
    taken_down
        The day of our reading.
    """

    key: str
    title: str
    jurisdiction: str
    edition: str
    says: str
    leaves_out: str
    sure: Sure
    hazards: tuple[str, ...] = ()
    taken_down: dt.date = TAKEN_DOWN

    def age_months(self, today: dt.date) -> int:
        """Whole months since it was taken down; 0 before that day."""
        then = self.taken_down
        months = 12 * (today.year - then.year) + today.month - then.month
        return max(0, months - (today.day < then.day))


_US, _EU, _ANY = "United States", "European Union", "international"
REGULATIONS = (
    Regulation(
        "16-cfr-1200-2",
        "16 CFR 1200.2",
        _US,
        "as in force when taken down",
        "A children’s product is one made primarily for 12 or younger, judged by four factors; the "
        "maker’s own label counts only if it is reasonable.",
        "It sets no limit of its own. A 14+ label alone makes nothing an adult’s product.",
        Sure.TEXT,
    ),
    Regulation(
        "2009-48-ec",
        "Directive 2009/48/EC, Annex I",
        _EU,
        "2009; read as UK SI 2011/1881, Schedule 1",
        "Products for collectors are no toys if product or packaging visibly says that they are "
        "for collectors of 14 and over.",
        "Play by under-14s, if the product invites it.",
        Sure.TEXT,
    ),
    Regulation(
        "eu-2025-2509",
        "Regulation (EU) 2025/2509",
        _EU,
        "12 December 2025; applies from 1 August 2030",
        "Takes the place of 2009/48/EC. Adults’ collectibles stay outside.",
        "Nothing is taken from it here.",
        Sure.QUOTED,
    ),
    Regulation(
        "eu-2023-988",
        "Regulation (EU) 2023/988, general product safety",
        _EU,
        "2023",
        "What is no toy must still be safe, and somebody in the Union must answer for it.",
        "It gives no limits.",
        Sure.MEMORY,
    ),
    Regulation(
        "16-cfr-1262",
        "16 CFR part 1262",
        _US,
        "as in force when taken down",
        "In products for entertainment, jewellery, mental stimulation or stress relief, for any "
        "age, each loose or separable magnet that fits the small-parts cylinder must have a flux "
        "index below 50.",
        "Magnets that nobody can take out; toys (16 CFR 1250); sales to professionals alone.",
        Sure.TEXT,
        ("magnet",),
    ),
    Regulation(
        "astm-f963-8-25",
        "ASTM F963, 8.25: how the flux index is measured",
        _US,
        "edition not known",
        "The largest flux density about 0.38 mm above the pole, squared, times the area of the "
        "pole.",
        "It does not say how a magnet is held.",
        Sure.MEMORY,
        ("magnet",),
    ),
    Regulation(
        "16-cfr-1263",
        "16 CFR part 1263 with UL 4200A",
        _US,
        "UL 4200A-2023",
        "Button and coin cells in consumer products that are no toys, for any age: to be reached "
        "only with a tool or by two independent movements at once, also after drop, impact, "
        "crush, torque, tension and compression; with warnings.",
        "Toys (16 CFR 1250); AA and AAA, which are no button cells.",
        Sure.TEXT,
        ("cell",),
    ),
    Regulation(
        "16-cfr-1500-48",
        "16 CFR 1500.48",
        _US,
        "as in force when taken down",
        "No sharp points in articles for children under eight; judged by a gauge at 4.45 N.",
        "Articles for eight and over.",
        Sure.TEXT,
        ("point",),
    ),
    Regulation(
        "16-cfr-1500-49",
        "16 CFR 1500.49",
        _US,
        "as in force when taken down",
        "No sharp edges of metal or glass in articles for children under eight; judged by a tape "
        "that is drawn along.",
        "Edges of other materials; articles for eight and over.",
        Sure.TEXT,
        ("sharp", "glass"),
    ),
    Regulation(
        "16-cfr-1501",
        "16 CFR part 1501",
        _US,
        "as in force when taken down",
        "In articles for children under three, nothing may fit entirely into the small-parts "
        "cylinder, in any position and uncompressed.",
        "Articles for three and over.",
        Sure.TEXT,
        ("small-part",),
    ),
    Regulation(
        "en-71-1",
        "EN 71-1 and ASTM F963, mechanical safety of toys",
        "European Union; United States",
        "edition not known",
        "Play by under-14s: points, edges, small parts, cords, magnets.",
        "What is no toy.",
        Sure.MEMORY,
        ("sharp", "point", "small-part", "cord", "magnet"),
    ),
    Regulation(
        "un-38-3",
        "UN Manual of Tests and Criteria, 38.3",
        _ANY,
        "edition not known",
        "Lithium cells and packs are tested before they are carried, and marked for the air.",
        "Use.",
        Sure.MEMORY,
        ("cell",),
    ),
)
