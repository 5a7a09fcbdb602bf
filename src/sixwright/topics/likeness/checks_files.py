"""Whether each still's file is there, is a picture, and has the size that its row says."""

from collections.abc import Mapping

from sixwright.kernel.findings import Evidence, Finding, Fix, Subject
from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.line.likeness import Still
from sixwright.line.picture_files import PictureFile
from sixwright.topics.likeness import rules
from sixwright.topics.likeness.doubts import FileDoubt
from sixwright.topics.likeness.model import Inputs

# What takes a still out of the solution.
_LEFT_OUT = {FileDoubt.MISSING, FileDoubt.UNOPENED, FileDoubt.NO_PICTURE, FileDoubt.OTHER_SIZE}
_REMEDIES = {
    FileDoubt.MISSING: "Put the file there, or correct its name in the row.",
    FileDoubt.UNOPENED: "Put a smaller picture there, or one that may be read.",
    FileDoubt.NO_PICTURE: "Put the picture there, or name another file in the row.",
    FileDoubt.OTHER_SIZE: "Name the file in which its landmarks were marked, or state its size and "
    "mark them anew.",
    FileDoubt.UNSIZED: "Fill in the size, if its landmarks were marked in this very file.",
    FileDoubt.OTHER_FILE: "Look whether it shows the same, and state its checksum.",
}  # fmt: skip


def is_left_out(still: Still, pictures: Mapping[str, PictureFile]) -> bool:
    """Whether a still takes no part, because of its file."""
    return _doubt(still, pictures.get(still.file or "")) in _LEFT_OUT


def findings(inputs: Inputs) -> list[Finding]:
    """One of every still whose file was looked for, what holds included.

    Parameters
    ----------
    inputs
        The nouns; a file that is not among its pictures was not looked for.

    Source
    ------
    docs/topics/likeness.md lists the rules.
    """
    found = []
    for still in inputs.stills.values():
        file = inputs.pictures.get(still.file or "")
        doubt = _doubt(still, file)
        if file is not None and doubt is not None:
            found.append(_finding(still, file, doubt))
    return found


def _doubt(still: Still, file: PictureFile | None) -> FileDoubt | None:
    """What is so of a still's file; None where it was not looked for."""
    if file is None:
        return None
    if file.fault:
        opened = FileDoubt.NO_PICTURE if file.sha256 else FileDoubt.UNOPENED
        return opened if file.is_there else FileDoubt.MISSING
    if still.width_px is None or still.height_px is None:
        return FileDoubt.UNSIZED
    if (still.width_px, still.height_px) != (file.width_px, file.height_px):
        return FileDoubt.OTHER_SIZE
    if still.sha256 and still.sha256.lower() != file.sha256:
        return FileDoubt.OTHER_FILE
    return FileDoubt.AS_STATED


def _finding(still: Still, file: PictureFile, doubt: FileDoubt) -> Finding:
    missing: tuple[str, ...] = ()
    if doubt is FileDoubt.UNSIZED:
        missing = tuple(f"stills/{still.id}/{name}" for name in ("width_px", "height_px"))
    elif doubt is FileDoubt.MISSING:
        missing = (f"stills/{still.id}/file",)
    remedy = _REMEDIES.get(doubt)
    return rules.FILE.finding(
        Subject("still", still.id),
        Evidence(missing=missing, doubt=doubt),
        _message(still, file, doubt),
        remedy=None if remedy is None else Sentence(remedy),
        weight=2.0 if doubt in _LEFT_OUT else 1.0,
        fix=_fix(still, file, doubt),
    )


def _message(still: Still, file: PictureFile, doubt: FileDoubt) -> Sentence:
    values: dict[str, Value] = {
        "still": Name(still.id),
        "file": Name(still.file or ""),
        "why": file.fault,
        "width": Count(file.width_px or 0),
        "height": Count(file.height_px or 0),
        "wide": _pixels(still.width_px),
        "high": _pixels(still.height_px),
    }
    text = _WORDS[doubt]
    before = (still.height_px, still.width_px) == (file.width_px, file.height_px)
    if doubt is FileDoubt.OTHER_SIZE and before and file.is_turned:
        text = text.removesuffix(".") + ", as it is before the turn that its EXIF data ask for."
    return Sentence(text, {name: one for name, one in values.items() if f"{{{name}}}" in text})


_NO_FILE = (
    "{still} was left out, and what only it shows is unchecked: {file} cannot be used, because "
    "{why}."
)
_WORDS = {
    FileDoubt.AS_STATED: "{still} is {width} pixels wide and {height} high, as its row says.",
    FileDoubt.MISSING: _NO_FILE,
    FileDoubt.UNOPENED: _NO_FILE,
    FileDoubt.NO_PICTURE: _NO_FILE,
    FileDoubt.OTHER_SIZE: "{still} was left out, and what only it shows is unchecked: {file} is "
    "{width} pixels wide and {height} high, its row says {wide} and {high}.",
    FileDoubt.UNSIZED: "{still} is {width} pixels wide and {height} high; its row does not say so.",
    FileDoubt.OTHER_FILE: "{file} has another checksum than {still} states: it was changed or "
    "exchanged.",
}


def _pixels(stated: float | None) -> Count:
    return Count(round(stated or 0))


def _fix(still: Still, file: PictureFile, doubt: FileDoubt) -> Fix | None:
    """The edit that says what was found; none where the sightings might then lie elsewhere."""
    if doubt is FileDoubt.OTHER_FILE:
        return Fix("State its checksum", "stills", still.id, (("sha256", file.sha256),))
    if doubt is FileDoubt.UNSIZED:
        cells = (("width_px", str(file.width_px)), ("height_px", str(file.height_px)))
        return Fix(f"Say {file.width_px} × {file.height_px}", "stills", still.id, cells)
    return None
