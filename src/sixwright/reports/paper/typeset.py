"""Data and a Typst template as PDF or PNG: a given date, bundled fonts, the same bytes."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Literal

from sixwright.kernel.errors import InternalError
from sixwright.reports.fonts import FONTS
from sixwright.reports.paper.tables import Paper

TEMPLATES = Path(__file__).parent

Standard = Literal["ua-1", "a-2a"]
STANDARDS: tuple[Standard, ...] = ("ua-1", "a-2a")
PIXELS_PER_INCH = 192.0  # twice a screen's 96
# Territories that print on US Letter; all others use A4.
# Source: Unicode CLDR, supplemental measurement data, paper size US-Letter.
LETTER = frozenset(
    {"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}
)
A4_PAPER = Paper("a4", upright_pt=595.28 - 96, turned_pt=841.89 - 96)
LETTER_PAPER = Paper("us-letter", upright_pt=612.0 - 96, turned_pt=792.0 - 96)
# Marks of a file's encoding, which no text of a PDF/UA-1 or PDF/A-2a may hold; nobody sees them.
# Source: ISO 14289-1, 7.21.7. From memory.
UNPRINTED = dict.fromkeys((0xFEFF, 0xFFFE))
# What Typst says of a letter for which a standard cannot be claimed.
UNCLAIMABLE = ("could not be displayed", "contains the codepoint")
# What such a print says of itself, at its foot.
LACKING = "Some letters are in no font of this computer, and stand as empty boxes."


@dataclass(frozen=True, slots=True)
class PrintFormat:
    """What is made, to which standards, and whether the system's fonts may help out."""

    form: Literal["pdf", "png"]
    standards: tuple[Standard, ...]
    system: bool = False


@dataclass(frozen=True, slots=True)
class Printed:
    """A finished print.

    Attributes
    ----------
    content
        The file's bytes.
    standards
        What the PDF claims to keep; empty where a letter is in none of the fonts at hand.
    """

    content: bytes
    standards: tuple[str, ...]


def paper_of(locale: str) -> Paper:
    """The paper of a locale's territory: US Letter or A4."""
    territory = locale.replace("_", "-").rpartition("-")[2].upper()
    return LETTER_PAPER if territory in LETTER else A4_PAPER


def language(locale: str) -> dict[str, str]:
    """The language of the words, which are English; the territory only where it speaks it."""
    name, _, territory = locale.replace("_", "-").partition("-")
    english = name.lower() == "en" and len(territory) == 2
    return {"lang": "en", "region": territory.upper() if english else ""}


def print_pdf(template: str, data: Mapping[str, object], *, today: date) -> Printed:
    """A tagged PDF that claims PDF/UA-1 and PDF/A-2a.

    Both ask that every letter can be shown and means something. Where the bundled fonts lack one,
    the system's serve; where those lack it too, or it is of private use, the PDF is tagged all the
    same, claims nothing, and says at its foot that letters are missing.

    Parameters
    ----------
    template
        A file in templates/.
    data
        Plain values, as JSON has them.
    today
        The date that the file bears.

    Raises
    ------
    InternalError
        If the template does not take the data.
    """
    manner, content = _claiming(template, data, today)
    if manner.standards:
        return Printed(content, manner.standards)
    return Printed(_compile(template, {**data, "lacking": LACKING}, manner, today), ())


def print_png(template: str, data: Mapping[str, object], *, today: date) -> bytes:
    """The template's one page as a picture, twice as fine as a screen.

    Raises
    ------
    InternalError
        If the template does not take the data.
    """
    manner, _ = _claiming(template, data, today)
    told = {**data, "lacking": "" if manner.standards else LACKING}
    return _compile(template, told, PrintFormat("png", (), system=manner.system), today)


def _claiming(template: str, data: Mapping[str, object], today: date) -> tuple[PrintFormat, bytes]:
    """The first manner in which the data can be printed, and the PDF: claims before none."""
    from typst import TypstError

    for manner in (PrintFormat("pdf", STANDARDS), PrintFormat("pdf", STANDARDS, system=True)):
        try:
            return manner, _compile(template, data, manner, today)
        except TypstError as error:
            if not any(why in error.message for why in UNCLAIMABLE):
                raise InternalError(f"{template} cannot be printed: {error.message}.") from error
    return PrintFormat("pdf", (), system=True), b""


def _compile(template: str, data: Mapping[str, object], manner: PrintFormat, today: date) -> bytes:
    import typst

    fonts = typst.Fonts(
        include_system_fonts=manner.system, include_embedded_fonts=True, font_paths=[FONTS]
    )
    made, _ = typst.compile_with_warnings(
        TEMPLATES / template,
        root=TEMPLATES,
        font_paths=fonts,
        format=manner.form,
        ppi=PIXELS_PER_INCH if manner.form == "png" else None,
        sys_inputs={"data": json.dumps(data, ensure_ascii=False).translate(UNPRINTED)},
        pdf_standards=list(manner.standards),
        timestamp=datetime.combine(today, time(), tzinfo=UTC),
    )
    if not isinstance(made, bytes):
        raise InternalError(f"{template} must make one file; received {len(made)} pages.")
    return made
