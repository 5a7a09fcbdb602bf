"""The documentation as pages: the Markdown of docs/, which a wheel carries inside the package."""

import re
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import pairwise
from pathlib import Path, PurePosixPath
from posixpath import normpath
from typing import TYPE_CHECKING

from sixwright.kernel.ids import slug
from sixwright.kernel.sentences import Name, Sentence
from sixwright.reports.document import Answer, Cell, Column, Document, Link, Row, Table, Written
from sixwright.workflows.reviewed import Review

if TYPE_CHECKING:
    from markdown_it.token import Token

TOPIC = "docs"
FILES = "/assets/docs"  # where pages serve what lies beside the Markdown, pictures above all
QUESTION = "How is it worked out?"
_PACKAGE = Path(__file__).resolve().parents[1]
# A checkout has the documentation beside the source; a wheel has it inside.
FOLDER = next((at for at in (_PACKAGE / "docs", _PACKAGE.parents[1] / "docs") if at.is_dir()), None)
GROUPS = (("topics", "The questions"), ("", "Working with it"), ("decisions", "What was chosen"))
_TERM = re.compile(r"\*\*([^*]+)\*\*")
_TITLE = re.compile(r"^# (.+)$", re.MULTILINE)


@cache
def manual_names() -> Mapping[str, str]:
    """Each page of the documentation, as its address under `/docs/` has it, to its title."""
    if FOLDER is None:
        return {}
    found = {}
    for file in sorted(FOLDER.rglob("*.md")):
        title = _TITLE.search(file.read_text(encoding="utf-8"))
        name = file.relative_to(FOLDER).with_suffix("").as_posix()
        found[name] = title[1] if title else name
    return found


def manual_list(review: Review) -> Document:
    """The list of all pages of the documentation."""
    told = Sentence("How each number comes about, what it leaves out, and where that is from.")
    tables = (_listed(folder, title) for folder, title in GROUPS)
    listed = tuple(table for table in tables if table.rows)
    return Document(TOPIC, QUESTION, (Answer(None, (told,)), *listed), review.project.locale)


def _listed(folder: str, title: str) -> Table:
    parent = PurePosixPath(folder)
    rows = tuple(
        Row((Cell(Name(words), link=Link(f"{TOPIC}/{name}", "", words)),))
        for name, words in manual_names().items()
        if PurePosixPath(name).parent == parent
    )
    return Table(title, (Column("Page", wide=True),), rows)


def manual_page(review: Review, name: str) -> Document:
    """One page of the documentation.

    Parameters
    ----------
    name
        One of `manual_names`.

    Raises
    ------
    KeyError
        If there is no such page.
    """
    title = manual_names()[name]
    return Document(TOPIC, title, (Written(_html(name)),), review.project.locale)


@cache
def _html(name: str) -> str:
    """The page as HTML without its title; links and pictures lead to where pages serve them."""
    from markdown_it import MarkdownIt

    reader = MarkdownIt("commonmark", {"html": False}).enable("table")
    assert FOLDER is not None  # noqa: S101  a page has a name only where there is the folder
    text = (FOLDER / f"{name}.md").read_text(encoding="utf-8")
    tokens = reader.parse(_TITLE.sub("", re.sub("<!--.*?-->", "", text), count=1))
    for token, after in zip(tokens, [*tokens[1:], None], strict=True):
        if token.type == "heading_open" and after is not None:
            token.attrSet("id", slug(after.content, otherwise="part"))
    _mark_terms(tokens)
    for token in _inner(tokens):
        for attribute in ("href", "src"):
            target = token.attrGet(attribute)
            if isinstance(target, str):
                token.attrSet(attribute, _address(name, target))
    return str(reader.renderer.render(tokens, reader.options, {}))


def _mark_terms(tokens: "list[Token]") -> None:
    """Paragraphs that begin with a term in bold can be led to by that term, as headings can."""
    met = {token.attrGet("id") for token in tokens}
    for token, after in pairwise(tokens):
        term = _TERM.match(after.content)
        if token.type != "paragraph_open" or token.hidden or term is None:
            continue
        id_ = slug(term[1], otherwise="part")
        if id_ not in met:
            met.add(id_)
            token.attrSet("id", id_)


def _inner(tokens: "list[Token]") -> "Iterator[Token]":
    for token in tokens:
        yield token
        yield from _inner(token.children or [])


def _address(name: str, target: str) -> str:
    """Where a link of a page leads: to another page, to a file beside them, or to the list."""
    path, mark, place = target.partition("#")
    if "://" in target or not path:
        return target
    there = normpath(PurePosixPath(name).parent / path)
    known = there.removesuffix(".md")
    if _is_file(there):
        return f"{FILES}/{there}"
    return f"/{TOPIC}/{known}{mark}{place}" if known in manual_names() else f"/{TOPIC}"


def _is_file(path: str) -> bool:
    beside = not path.startswith("..") and not path.endswith(".md")
    return FOLDER is not None and beside and (FOLDER / path).is_file()
