"""What each column of an export is: guessed from its name, corrected once, remembered."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sixwright.importer.voices.exports import Export
from sixwright.kernel.errors import CallError
from sixwright.topics.voices.comments import fold

OPTION = "option:"  # a column that holds the answers to one option: ``option:hd-m1``
NOTHING = "nothing"
MEANINGS = {
    "votes": {
        "voter": "who voted",
        "option": "the option, or several",
        "answer": "the answer: yes or no, a level, a rank",
        "backer": "whether they have paid for an edition",
        "date": "when",
    },
    "comments": {
        "text": "what was written",
        "voter": "who wrote it",
        "date": "when",
        "where": "where",
        "language": "in what language",
        "id": "its own id",
    },
}
NEEDED = {"votes": ("voter",), "comments": ("text",)}
# Names of columns after folding; the first meaning that fits a whole name counts.
_DATE = (
    r"dates?|time ?stamp|time|when|created.*|submitted.*|posted.*|published.*|voted at|datum"
    r"|zeitstempel|fecha|data|horodateur|marca temporal|"
    + "|".join(fold(word) for word in ("日期", "日時", "时间"))
)
_WHO = (
    r"voters?|users?|user ?name|name|e ?mail.*|mail|handle|member|account|respondent|author.*"
    r"|display name|by|from|nutzer|benutzer(name)?|utilisateur|usuario|utente|autor"
    r"|(user|voter|member|author) id|.* username|"
    + "|".join(fold(word) for word in ("用户", "ユーザー"))
)
_BACKER = r"backers?|is backer|backed|pre ?ordered|ordered|paid|customer|kunde|client"
_ANSWER = (
    r"answers?|rating|score|stars?|points?|value|level|rank|place|position|bewertung|note|nota"
    r"|punkte|rang"
)
_OPTION = (
    r"options?|choices?|votes?|voted for|candidates?|items?|selection|picks?|auswahl|stimme|choix"
    r"|opcion|opcao|scelta"
)
_TEXT = (
    r"texts?|comments?|message|body|content|post|kommentar|commentaire|comentario|commento"
    r"|nachricht|mensaje|comment text|" + "|".join(fold(word) for word in ("评论", "コメント"))
)
_NAMES: Mapping[str, Sequence[tuple[str, str]]] = {
    "votes": (
        ("date", _DATE),
        ("backer", _BACKER),
        ("voter", _WHO),
        ("answer", _ANSWER),
        ("option", _OPTION),
    ),
    "comments": (
        ("text", _TEXT),
        ("date", _DATE),
        ("voter", _WHO),
        ("where", r"where|channel|source|platform|forum|site|page|thread|kanal|quelle|canal"),
        ("language", r"lang(uage)?|locale|sprache|langue|idioma|lingua"),
        ("id", r"id|(comment|post|message) id"),
    ),
}


@dataclass(frozen=True, slots=True)
class ExportColumns:
    """What an export's columns mean.

    Attributes
    ----------
    means
        Column's name: a meaning, ``option:`` and an id, or `NOTHING`.
    """

    means: Mapping[str, str]

    def of(self, meaning: str) -> str | None:
        """The column of a meaning, or None."""
        return next((name for name, means in self.means.items() if means == meaning), None)

    @property
    def options(self) -> dict[str, str]:
        """Column: the option whose answers it holds."""
        pairs = self.means.items()
        return {n: m.removeprefix(OPTION) for n, m in pairs if m.startswith(OPTION)}


def guessed(
    export: Export,
    kind: str,
    *,
    options: Mapping[str, str],
    known: Mapping[str, str],
    said: Mapping[str, str],
) -> ExportColumns:
    """What the columns mean: as was said now, as was said of such an export before, or as named.

    Parameters
    ----------
    kind
        ``votes`` or ``comments``.
    options
        Id of each of the poll's options, and its name.
    known
        What was said of an export with these columns before.
    said
        What is said now.

    Raises
    ------
    CallError
        If something is said of a column that is not there, or what is said is no meaning, or what
        is needed is not found.
    """
    _check(export, kind, options, said)
    means: dict[str, str] = {}
    for name in export.header:
        guess = said.get(name) or known.get(name) or _named(name, kind, options)
        taken = guess in means.values() and name not in said
        means[name] = NOTHING if taken else guess
    found = ExportColumns(means)
    lacking = [needed for needed in NEEDED[kind] if found.of(needed) is None]
    if kind == "votes" and not found.options and found.of("option") is None:
        lacking.append("option")
    if lacking:
        columns = ", ".join(f"“{name}”" for name in export.header)
        what = " and ".join(f"{need} ({MEANINGS[kind][need]})" for need in lacking)
        raise CallError(
            f"{export.name} has no column that says {what}; its columns are {columns}. "
            f"Say which: --column NAME={lacking[0]}."
        )
    return found


def _check(export: Export, kind: str, options: Mapping[str, str], said: Mapping[str, str]) -> None:
    allowed = [*MEANINGS[kind], NOTHING, *(OPTION + option for option in options)]
    for name, meaning in said.items():
        if name not in export.header:
            columns = ", ".join(f"“{known}”" for known in export.header)
            raise CallError(f"{export.name} has no column “{name}”; its columns are {columns}.")
        if meaning not in allowed:
            raise CallError(
                f"“{meaning}” is nothing that a column means; {', '.join(allowed)} are."
            )


def _named(name: str, kind: str, options: Mapping[str, str]) -> str:
    """What a column's name says; in votes the name of an option is that option."""
    plain = fold(name)
    if kind == "votes":
        for option, title in options.items():
            if plain in {fold(option), fold(title)}:
                return OPTION + option
        # Surveys repeat the question: “How much do you want each head? [Weary]”.
        inner = re.search(r"\[([^\]]+)\]\s*\Z", name)
        if inner:
            return _named(inner[1], kind, options)
    for meaning, pattern in _NAMES[kind]:
        if re.fullmatch(pattern, plain):
            return meaning
    return NOTHING
