"""Ids of rows, made from names; and anchors of places on a page, made from ids."""

import re
import unicodedata

_DEVICE = re.compile(r"con|prn|aux|nul|(com|lpt)\d")
_MOST_LETTERS = 60


def slug(text: str, *, otherwise: str) -> str:
    """An id of lower-case letters, digits and hyphens; `otherwise` where none is left."""
    folded = (
        unicodedata.normalize("NFKD", text.replace("ß", "ss")).encode("ascii", "ignore").decode()
    )
    made = re.sub(r"[^a-z0-9]+", "-", folded.lower()).strip("-")
    if not made:
        return otherwise
    return made if made[0].isalpha() else f"p-{made}"


def file_slug(text: str, *, otherwise: str) -> str:
    """The same of at most 60 letters, that can be a file's name on any system.

    Source
    ------
    Microsoft, Naming Files, Paths, and Namespaces: no file has the name of a device, whatever its
    ending. From memory. The length is our own choice: most disks take 255 bytes.
    """
    made = slug(text, otherwise=otherwise)[:_MOST_LETTERS].rstrip("-")
    return f"p-{made}" if _DEVICE.fullmatch(made) else made


def anchor(id_: str) -> str:
    """The name of a place on a page: different for different ids, of ASCII letters and digits.

    Parameters
    ----------
    id_
        Any text. Lower-case letters, digits and hyphens stay as they are, a slash becomes ``_``,
        and any other character its code point between two ``U``, which no name has otherwise.

    Source
    ------
    Own choice. It needs no quoting in an address (RFC 3986, 2.3) nor in a style sheet's selector.
    """
    return re.sub(r"[^a-z0-9-]", lambda found: _code(found[0]), id_)


def _code(character: str) -> str:
    return "_" if character == "/" else f"U{ord(character):x}U"
