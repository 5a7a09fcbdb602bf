"""A spreadsheet that was dropped on a page, and what its owner says of it; nothing is written."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath, PureWindowsPath
from tempfile import TemporaryDirectory

from sixwright.importer.guess import Guess, guess_parts
from sixwright.kernel.errors import InputError, shown


@dataclass(frozen=True, slots=True)
class ArrivedSheet:
    """A spreadsheet, and all that was said of it so far.

    Attributes
    ----------
    columns, kinds
        Column name to meaning, and word to kind, as `importer.guess.guess_parts` takes them.
    currency, kind, sheet
        The line's currency, the kind of parts of which nothing states one, the sheet's name.
    hidden
        Whether what is hidden is read too.
    """

    name: str
    content: bytes
    columns: Mapping[str, str] = field(default_factory=dict)
    kinds: Mapping[str, str] = field(default_factory=dict)
    currency: str | None = None
    kind: str | None = None
    sheet: str | None = None
    hidden: bool = False

    def said(self, what: str, name: str, value: str) -> "ArrivedSheet":
        """The same with one thing said; an empty value takes back what was said.

        Parameters
        ----------
        what
            ``column``, ``word``, ``currency``, ``kind``, ``sheet`` or ``hidden``.
        name
            Of the column or word.

        Raises
        ------
        InputError
            If `what` is none of these.
        """
        if what == "column":
            return replace(self, columns=_with(self.columns, name, value))
        if what == "word":
            return replace(self, kinds=_with(self.kinds, name, value))
        if what == "sheet":  # another sheet has columns of its own
            return ArrivedSheet(self.name, self.content, sheet=value or None)
        if what == "hidden":
            return replace(self, hidden=value == "yes")
        if what == "currency":
            return replace(self, currency=value or None)
        if what == "kind":
            return replace(self, kind=value or None)
        raise InputError("There is nothing of that name to say; nothing was written.")

    def guess(self) -> Guess:
        """How the spreadsheet is read with all that was said.

        Raises
        ------
        FolderError
            If it cannot be read, or no sheet of it lists parts.
        """
        with TemporaryDirectory(prefix="sixwright-") as scratch:
            file = Path(scratch) / self.name
            file.write_bytes(self.content)
            return guess_parts(
                file,
                self.columns,
                currency=self.currency,
                kind=self.kind,
                kinds=self.kinds,
                sheet=self.sheet,
                hidden=self.hidden,
            )


def arrived(name: str, content: bytes) -> ArrivedSheet:
    """A spreadsheet by the bare name of its file.

    Raises
    ------
    InputError
        If the name is none that a file can have.
    """
    bare = PureWindowsPath(PurePosixPath(name).name).name
    if bare in {"", ".", ".."} or "\0" in bare or len(bare.encode()) > 200:
        raise InputError("That file has no name that can be used; nothing was read.")
    return ArrivedSheet(shown(bare), content)


def _with(said: Mapping[str, str], name: str, value: str) -> dict[str, str]:
    rest = {known: meant for known, meant in said.items() if known != name}
    return {**rest, name: value} if value else rest
