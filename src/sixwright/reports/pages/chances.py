"""What could be saved: told apart from what is wrong, the most first."""

from fractions import Fraction

from sixwright.kernel.currency import Money
from sixwright.kernel.findings import Chance
from sixwright.project.model import Project
from sixwright.reports.document import Block, Cell, Column, Row, Table
from sixwright.reports.wording.words import bare


def chance_list(project: Project, chances: tuple[Chance, ...], *, at: str) -> tuple[Block, ...]:
    """A row a chance; nothing where there is none.

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
    return (Table("Chances", columns, rows),)


def _saving(project: Project, chance: Chance) -> str:
    saving = Money(Fraction(chance.saving.value), project.currency)
    return bare(saving, project.locale, digits=0)
