"""Ids of rows: lower-case letters, digits and hyphens, made from names."""

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
