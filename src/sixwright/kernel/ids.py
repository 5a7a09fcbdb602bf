"""Ids of rows, made from names; and anchors of places on a page, made from ids."""

import re
import unicodedata


def slug(text: str, *, otherwise: str) -> str:
    """An id of lower-case letters, digits and hyphens; `otherwise` where none is left."""
    folded = (
        unicodedata.normalize("NFKD", text.replace("ß", "ss")).encode("ascii", "ignore").decode()
    )
    made = re.sub(r"[^a-z0-9]+", "-", folded.lower()).strip("-")
    if not made:
        return otherwise
    return made if made[0].isalpha() else f"p-{made}"


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
