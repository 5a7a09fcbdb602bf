"""The draft of an update as Markdown, and as HTML: the same words in both."""

import re

from sixwright.reports.document import Block, Document, Heading, Paragraph
from sixwright.reports.html import ASSETS, environment, in_report, style_sheet
from sixwright.reports.wording.words import day, runs
from sixwright.workflows.update_draft import Draft

UPDATE_MD, UPDATE_HTML = "update.md", "update.html"
# What Markdown would take for its own marks.
_MARKS = re.compile(r"([\\`*_{}\[\]<>#|!])")
_FIRST = re.compile(r"^(\s*)([-+>]|\d+[.)])(?=\s)")


def update_markdown(draft: Draft) -> str:
    """The draft as Markdown (CommonMark).

    Text of the folder is escaped, so that it is shown as it was written; names are strong.
    """
    lines = [f"# {_plain(draft.line)}", "", _plain(day(draft.today, draft.locale))]
    for section in draft.sections:
        lines += ["", f"## {section.title}", ""]
        for sentence in section.sentences:
            told = "".join(
                f"**{_plain(run.text)}**" if run.strong and run.text.strip() else _plain(run.text)
                for run in runs(sentence, draft.locale)
            )
            lines.append("- " + _FIRST.sub(r"\1\\\2", told))
    for still in draft.stills:
        lines += ["", f"![]({(still.file or '').replace(' ', '%20')})"]
    return "\n".join(lines) + "\n"


def _plain(text: str) -> str:
    """A text that Markdown shows as it is, on one line."""
    return _MARKS.sub(r"\\\1", re.sub(r"[ \t\r\n]+", " ", text))


def update_html(draft: Draft) -> str:
    """The draft as one HTML page that needs nothing beside it."""
    document = _document(draft)
    made = environment(locale=draft.locale, href=in_report)
    css = style_sheet() + (ASSETS / "sheet.css").read_text(encoding="utf-8")
    return made.get_template("sheet.html.j2").render(
        title=draft.line, document=document, date=day(draft.today, draft.locale), css=css, fonts=""
    )


def _document(draft: Draft) -> Document:
    blocks: list[Block] = []
    for section in draft.sections:
        blocks.append(Heading(section.title))
        blocks += [Paragraph((sentence,)) for sentence in section.sentences]
    return Document("update", draft.line, tuple(blocks), draft.locale)
