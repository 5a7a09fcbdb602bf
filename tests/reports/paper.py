"""Reading a PDF and an HTML page back: what they say, and how they are tagged."""

import io
from collections.abc import Iterator
from html.parser import HTMLParser

from pypdf import PdfReader
from pypdf.generic import DictionaryObject

# Elements whose text is one stretch of words; a link in print is followed by a page number.
STRETCHES = {"p", "a", "th", "td", "h1", "h2", "figcaption", "summary", "li", "small"}
QUIET = {"style", "svg", "script", "nav", "title"}


def bare(text: str) -> str:
    """Letters in order: without spaces and hyphens (a line may end in one).

    PDFs have no spaces where lines end, so a comparison must not look at any.
    """
    # A browser's PDF writes the apostrophe of some fonts as its twin, a modifier letter.
    text = "".join(text.split()).replace("\N{MODIFIER LETTER APOSTROPHE}", "’")
    return text.replace("-", "").replace("\N{HYPHEN}", "").replace("\N{SOFT HYPHEN}", "")


class Stretches(HTMLParser):
    """The stretches of words of a page, each from its innermost element that holds words."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.tables = 0
        self._open: list[str] = []
        self._words: list[str] = []
        self._hush: list[str] = []
        self._unseen = False
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tables += tag == "table"
        if tag in QUIET:
            self._hush.append(tag)
        self._unseen = ("class", "unseen") in attrs
        if tag in STRETCHES:
            self._close()

    def handle_endtag(self, tag):
        if self._hush and tag == self._hush[-1]:
            self._hush.pop()
        self._unseen = False
        if tag in STRETCHES:
            self._close()

    def handle_data(self, data):
        if not self._hush and not self._unseen:
            self._words.append(data)

    def _close(self):
        words = bare("".join(self._words))
        self._words = []
        if words:
            self.found.append(words)


def reader(content: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(content))


def said(pdf: PdfReader, foot: str) -> str:
    """The letters of all pages in order, without the foot that each of them has."""
    pages = []
    count = len(pdf.pages)
    for number, page in enumerate(pdf.pages, 1):
        letters = bare(page.extract_text())
        footed = bare(foot) + f"{number}of{count}"
        assert footed in letters, (footed, letters[-200:])
        pages.append(letters.replace(footed, ""))
    return "".join(pages)


def elements(pdf: PdfReader) -> Iterator[tuple[str, DictionaryObject]]:
    """Every element of the structure tree in reading order, with its standard kind."""
    root = pdf.trailer["/Root"]["/StructTreeRoot"]
    roles = root.get("/RoleMap", {})
    waiting = [root]
    while waiting:
        each = waiting.pop().get_object()
        if isinstance(each, list):
            waiting += reversed(each)
            continue
        if not isinstance(each, DictionaryObject):
            continue
        kind = each.get("/S")
        if kind is not None:
            yield str(roles.get(kind, kind)).removeprefix("/"), each
        if "/K" in each:
            waiting.append(each["/K"])


def kinds(pdf: PdfReader) -> list[str]:
    return [kind for kind, _ in elements(pdf)]


def starts(page) -> list[float]:
    """Where each piece of text begins, pt from the page's left edge."""
    places: list[float] = []

    def note(text, cm, tm, *_):
        if text.strip():
            places.append(cm[0] * tm[4] + cm[2] * tm[5] + cm[4])

    page.extract_text(visitor_text=note)
    return places
