"""What is sold and what it is made of: looks, editions, sets, parts, contents, orders."""

from dataclasses import dataclass
from fractions import Fraction

from sixwright.kernel.currency import Money

KINDS = (
    "head",
    "hand",
    "body",
    "garment",
    "shoe",
    "prop",
    "metal",
    "mask",
    "joint",
    "base",
    "light",
    "stand",
    "packing",
)


# parts.csv, `hazards`: what of a part can hurt somebody; or `NO_HAZARD` alone.
HAZARDS = ("magnet", "cell", "sharp", "point", "small-part", "cord", "glass", "hot", "mains")
NO_HAZARD = "none"


@dataclass(frozen=True, slots=True)
class Look:
    """One design of the character."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Announced:
    """What was said in public: `quantity` pieces of the parts of one `group`."""

    group: str
    quantity: int


@dataclass(frozen=True, slots=True)
class Sold:
    """Something with a price: an edition, or a set (`editions` is then not empty).

    Attributes
    ----------
    is_set
        Whether it is a set of several editions.
    look
        Id of its look; None for a set.
    extends
        Id of the edition that this one holds all of, packing and stand aside.
    price
        In the line's currency; None while unknown.
    cap
        The most that will be made, or None.
    assembly_minutes
        Minutes to assemble one box.
    box_mm
        Outside length, width and height, mm.
    figures
        Figures in the box: 0 in a pack of heads; None while unknown.
    public
        What was announced of it.
    is_named
        Whether its name is one that the producer gave it, and not its id.
    """

    id: str
    name: str
    is_set: bool = False
    look: str | None = None
    extends: str | None = None
    editions: tuple[str, ...] = ()
    price: Money | None = None
    cap: int | None = None
    assembly_minutes: Fraction | None = None
    box_mm: tuple[Fraction, Fraction, Fraction] | None = None
    figures: int | None = None
    public: tuple[Announced, ...] = ()
    is_named: bool = True

    @property
    def own_name(self) -> str:
        """The name that the producer gave it, as anyone may read it; empty without one."""
        return self.name if self.is_named else ""

    @property
    def table(self) -> str:
        """The table of the folder that it stands in."""
        return "sets" if self.is_set else "editions"


@dataclass(frozen=True, slots=True)
class Part:
    """A thing in a box.

    Attributes
    ----------
    kind
        One of `KINDS`.
    look
        Id of a look, or ``all``.
    group
        Parts that the public counts as one thing (“keys”).
    fits, takes
        Joints: a head fits ``neck-8``, a body takes ``neck-8``.
    grips, held
        What a hand can hold; what kind of thing this part is to a hand.
    hazards
        Words of `HAZARDS`, or `NO_HAZARD` alone; None while nobody has said.
    way
        Id of the way that is chosen for it.
    mass_g, length_mm, width_mm, height_mm
        Of one piece.
    has_namesake
        Whether another part of the line has the same name.
    is_named
        Whether its name is one that the producer gave it, and not its id.
    """

    id: str
    kind: str
    look: str = "all"
    name: str = ""
    group: str | None = None
    fits: tuple[str, ...] = ()
    takes: tuple[str, ...] = ()
    grips: tuple[str, ...] = ()
    held: tuple[str, ...] = ()
    hazards: tuple[str, ...] | None = None
    way: str | None = None
    mass_g: Fraction | None = None
    length_mm: Fraction | None = None
    width_mm: Fraction | None = None
    height_mm: Fraction | None = None
    has_namesake: bool = False
    is_named: bool = True

    @property
    def own_name(self) -> str:
        """The name that the producer gave it, as anyone may read it; empty without one."""
        return self.name if self.is_named else ""

    @property
    def called(self) -> str:
        """Its name, with its id where another part has that name too; its id without one."""
        return f"{self.name} ({self.id})" if self.has_namesake else self.name or self.id


@dataclass(frozen=True, slots=True)
class Content:
    """So many pieces of a part in the box of an edition or set; None while unknown."""

    sells: str
    part: str
    quantity: int | None
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Order:
    """Orders assumed for an edition or set; None while unknown."""

    sells: str
    quantity: int | None
