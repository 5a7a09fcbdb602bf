"""Documents as HTML: the blocks that pages and report share, and the report in one file."""

import json
from base64 import b64encode
from collections.abc import Callable, Mapping
from functools import cache
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from sixwright.kernel.intervals import Verdict
from sixwright.kernel.pictures import Picture
from sixwright.kernel.sentences import Sentence, Value
from sixwright.line.shots import Shot
from sixwright.project.records import Records
from sixwright.reports import fonts
from sixwright.reports.document import Ask, CellAddress, Link
from sixwright.reports.leaving import css_string
from sixwright.reports.pages import printed
from sixwright.reports.pages.makers import FOR_THE_HOUSE
from sixwright.reports.spine import Colophon, colophon, spine
from sixwright.reports.svg.picture import svg
from sixwright.reports.svg.verdict_mark import mark_svg
from sixwright.reports.wording.fields import Field, field
from sixwright.reports.wording.words import say_html, text_of
from sixwright.workflows.reviewed import Review
from sixwright.workflows.shown import shown_finding

if TYPE_CHECKING:
    from jinja2 import BytecodeCache, Environment

HERE = Path(__file__).parent
TEMPLATES = HERE / "templates"
ASSETS = HERE / "assets"

# What is asked of who lives with a finding.
ACCEPTANCE = (
    Ask("reason", "Why you accept it", required=True, long=True),
    Ask("by", "Who accepts it", required=True, by=True),
)

Href = Callable[[Link], str]
PhotoAddress = Callable[[Shot], str]  # empty where there is none
MakePhoto = Callable[[Shot], bytes | None]


def no_photo(_shot: Shot) -> None:
    """Where pictures of points cannot be had."""


@cache
def _compiled() -> "BytecodeCache":
    """Templates as they were compiled, kept for as long as the process runs."""
    from jinja2 import BytecodeCache
    from jinja2.bccache import Bucket

    class Kept(BytecodeCache):
        def __init__(self) -> None:
            self._kept: dict[str, bytes] = {}

        def load_bytecode(self, bucket: Bucket) -> None:
            if bucket.key in self._kept:
                bucket.bytecode_from_string(self._kept[bucket.key])

        def dump_bytecode(self, bucket: Bucket) -> None:
            self._kept[bucket.key] = bucket.bytecode_to_string()

    return Kept()


def environment(
    *folders: Path,
    locale: str,
    href: Href,
    records: Records | None = None,
    photo: PhotoAddress = lambda _: "",
) -> "Environment":
    """Templates that can word sentences, draw pictures and set links.

    Parameters
    ----------
    folders
        Where templates are, besides those of the blocks.
    locale
        Of the line.
    href
        Where a link leads: another page, or another place of the same file.
    records
        The folder's rows, where what they hold can be changed on the page; a report has none.
    photo
        Where a picture made of points is; empty where it cannot be had.
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from markupsafe import Markup

    made = Environment(
        loader=FileSystemLoader([*folders, TEMPLATES]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        bytecode_cache=_compiled(),
    )

    numbers = count(1)

    def say(value: Sentence | Value) -> Markup:
        if isinstance(value, Sentence):
            return Markup(say_html(value, locale))  # noqa: S704 - words.say_html escapes it
        return Markup.escape(text_of(value, locale))

    def draw(picture: Picture) -> Markup:
        name = f"picture-{next(numbers)}"
        return Markup(svg(picture, name=name, locale=locale))  # noqa: S704 - svg escapes it

    def as_field(place: CellAddress | None) -> Field | None:
        return field(records, place) if records is not None and place is not None else None

    made.globals |= {"editing": records is not None, "acceptance": ACCEPTANCE}
    made.filters |= {
        "field": as_field,
        "asked": lambda asks: json.dumps(dict(asks)),
        "shown": shown_finding,
        "say": say,
        "svg": draw,
        "photo": lambda block: photo(block.shot),
        "address": photo,
        "href": href,
        "kind": lambda block: type(block).__name__,
        "mark": lambda verdict: Markup(mark_svg(Verdict(verdict))),  # noqa: S704 - our own paths
    }
    return made


def style_sheet() -> str:
    """The look, as one style sheet."""
    return (ASSETS / "look.css").read_text(encoding="utf-8")


def in_report(link: Link) -> str:
    """A link to another place of the same file; empty to pages that are not in it."""
    if link.topic.startswith(
        ("docs/", "likeness/", "makers", "sculptor/", "sculpts", "stills", "tables")
    ):
        return ""
    return f"#{link.anchor or link.topic}"


def in_file(make: MakePhoto) -> PhotoAddress:
    """Pictures made of points within the file itself."""

    def address(shot: Shot) -> str:
        made = make(shot)
        return "" if made is None else f"data:image/jpeg;base64,{b64encode(made).decode()}"

    return address


def report_html(
    review: Review, *, folder: str, inputs: Mapping[str, str], photos: MakePhoto = no_photo
) -> str:
    """The whole review as one HTML file that needs nothing beside it.

    Parameters
    ----------
    review
        What was judged.
    folder
        The folder's name, for the foot of each page.
    inputs
        File, relative, to the SHA-256 of its bytes.
    photos
        Draws pictures made of points.
    """
    locale = review.project.locale
    made = environment(locale=locale, href=in_report, photo=in_file(photos))
    imprint = colophon(folder=folder, inputs=inputs, today=review.today, locale=locale)
    context: dict[str, object] = {
        "spine": spine(review, current="home", href=lambda topic: f"#{topic}"),
        "documents": printed(review),
        "face": FOR_THE_HOUSE,
        "colophon": imprint,
        "css": style_sheet(),
        "page_foot": page_foot(imprint),
        "fonts": "",
    }
    template = made.get_template("report.html.j2")
    needed = fonts.embedded(template.render(context))
    return template.render(context | {"fonts": needed})


def page_foot(imprint: Colophon) -> str:
    """The foot of each printed page: folder, date, checksum, and the page's number."""
    words = css_string(imprint.words)
    return f"@page{{@bottom-left{{content:{words}}}@bottom-right{{content:counter(page)}}}}"
