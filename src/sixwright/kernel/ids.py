"""Ids of rows and addresses, made from names; and anchors of places on a page, made from ids."""

import re
import unicodedata
from collections import Counter
from collections.abc import Collection, Mapping
from hashlib import sha256

# So long is a name in an address at most, and so much of a digest tells two alike apart.
_MOST, _DIGITS = 48, 12
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


def addresses(names: Collection[str], *, otherwise: str) -> Mapping[str, str]:
    """A name in addresses and of files for each of these: another one for each.

    Parameters
    ----------
    names
        Any texts, each once.
    otherwise
        Stands where a name has no letter of ASCII. Names of which the same letters are left, or
        none, or very many, bear a part of their digest: their order does not count.

    Source
    ------
    Own choice. It is of lower-case letters, digits and hyphens, so that no disk takes two for one.
    """
    made = {name: slug(name, otherwise="") for name in names}
    times = Counter(made.values())
    return {
        name: word
        if word and times[word] == 1 and len(word) <= _MOST
        else f"{word[:_MOST] or otherwise}-{_digest(name)}"
        for name, word in made.items()
    }


def _digest(name: str) -> str:
    return sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:_DIGITS]


def _code(character: str) -> str:
    return "_" if character == "/" else f"U{ord(character):x}U"
