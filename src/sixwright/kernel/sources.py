"""A work that a definition, value or method rests on."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """One published work, standard, or choice of ours.

    Attributes
    ----------
    key
        Short stable name, as in ``wilson-1927``.
    title
        Author, year, title, and where it was published.
    locator
        Section, table or page.
    note
        What was taken from it, how sure it is, and where it stops holding.
    """

    key: str
    title: str
    locator: str = ""
    note: str = ""
