"""What could be saved: told apart from what is wrong, the most first."""

from fractions import Fraction

from sixwright.kernel.currency import Money
from sixwright.kernel.findings import Chance
from sixwright.kernel.sentences import Whole
from sixwright.project.model import Project
from sixwright.reports.document import Block, Cell, Column, Heading, Row, Table

# The anchor of the list on the page of its topic.
ANCHOR = "chances"


def chance_list(project: Project, chances: tuple[Chance, ...], *, at: str) -> tuple[Block, ...]:
    """A heading and a row a chance; nothing where there is none.

    Parameters
    ----------
    at
        The page, which makes the anchor its own.
    """
    if not chances:
        return ()
    columns = (
        Column("What could be saved", wide=True),
        Column("Saves", numeric=True, unit=project.currency),
    )
    rows = tuple(
        Row((Cell(chance.message), Cell(_saving(project, chance))), anchor=f"{at}-chance-{number}")
        for number, chance in enumerate(chances, 1)
    )
    return (Heading("Chances", f"{at}-{ANCHOR}"), Table("Chances", columns, rows))


def _saving(project: Project, chance: Chance) -> Whole:
    return Whole(Money(Fraction(chance.saving.value), project.currency))
