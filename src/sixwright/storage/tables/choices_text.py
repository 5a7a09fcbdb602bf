"""The files of choices: read as TOML, and made anew with all that was in them as it was."""

from codecs import BOM_UTF8
from collections.abc import Iterator, Mapping
from typing import Any

from sixwright.kernel.errors import InputError, LimitError, Problem
from sixwright.project.choices import FOLDER, Alternative, Choice, Decision
from sixwright.project.records import Change
from sixwright.storage.tables.toml_text import parse_toml

TOML = "UTF-8 text in TOML"


def choice_documents(
    files: Mapping[str, bytes], problems: list[Problem]
) -> dict[str, Mapping[str, Any]]:
    """The keys of every file of a choice; one that is no TOML is a problem.

    Parameters
    ----------
    files
        Bytes of the folder's files, by name; others than choices are left alone.
    problems
        Where every fault is added.
    """
    documents: dict[str, Mapping[str, Any]] = {}
    for name, content in files.items():
        if not name.startswith(f"{FOLDER}/"):
            continue
        try:
            documents[name] = parse_toml(content)
        except LimitError as error:
            problems.append(Problem(name, error.expected, error.found))
        except InputError as error:
            problems.append(Problem(name, TOML, str(error)))
    return documents


def new_choice(choice: Choice) -> bytes:
    """A new file: its question and its alternatives."""
    lines = [f"question = {_quoted(choice.question)}"]
    for alternative in choice.alternatives:
        lines += ["", *_alternative_lines(alternative)]
    return _encoded(lines)


def with_alternative(content: bytes, alternative: Alternative) -> bytes:
    """A choice's file with one more alternative at its end; what was there stays byte for byte.

    Parameters
    ----------
    content
        The file as it stands, and as it can be read.
    alternative
        Its id must not be there yet.

    Raises
    ------
    InputError
        If the file is no TOML, has that id already, or holds a choice that is taken.
    """
    document = parse_toml(content)
    ids = [entry.get("id") for entry in document.get("alternatives", ())]
    if alternative.id in ids:
        raise InputError(f"id must be new to this choice; received {alternative.id!r}.")
    if "taken" in document:
        raise InputError("The choice is taken; open it again before adding to it.")
    if _is_inline(content):
        return _with_inline(content, alternative)
    return _appended(content, _alternative_lines(alternative))


def with_taken(content: bytes, taken: Decision) -> bytes:
    """A choice's file with what was taken, when, by whom, why and on which numbers.

    Parameters
    ----------
    content
        The file as it stands, and as it can be read.
    taken
        What was taken.

    Raises
    ------
    InputError
        If the file is no TOML, has no such alternative, or something was taken already.
    """
    document = parse_toml(content)
    if "taken" in document:
        raise InputError("The choice is taken already; open it again first.")
    ids = [entry.get("id") for entry in document.get("alternatives", ())]
    if taken.alternative not in ids:
        raise InputError(f"alternative must be one of {ids}; received {taken.alternative!r}.")
    return _appended(content, _taken_lines(taken))


def without_taken(content: bytes) -> bytes:
    """A choice's file opened again: what was taken goes, all else stays.

    Raises
    ------
    InputError
        If the file is no TOML.
    """
    parse_toml(content)
    document = _styled(content)
    document.pop("taken", None)
    return _dumped(document, content)


def _alternative_lines(alternative: Alternative) -> Iterator[str]:
    yield "[[alternatives]]"
    yield f"id = {_quoted(alternative.id)}"
    yield f"name = {_quoted(alternative.name)}"
    for change in alternative.changes:
        yield ""
        yield "[[alternatives.changes]]"
        yield from (f"{name} = {value}" for name, value in _change_keys(change))


def _change_keys(change: Change) -> Iterator[tuple[str, str]]:
    yield "table", _quoted(change.table)
    yield "id", _quoted(change.id)
    if change.add is not None:
        cells = ", ".join(f"{_key(name)} = {_quoted(text)}" for name, text in change.add.items())
        yield "add", f"{{{cells}}}"
    elif change.remove:
        yield "remove", "true"
    else:
        yield "column", _quoted(change.column or "")
        if change.was is not None:
            yield "was", _quoted(change.was)
        yield "value", _quoted(change.value or "")


def _taken_lines(taken: Decision) -> Iterator[str]:
    yield "[taken]"
    yield f"alternative = {_quoted(taken.alternative)}"
    yield f"date = {taken.date.isoformat()}"
    yield f"by = {_quoted(taken.by)}"
    yield f"reason = {_quoted(taken.reason)}"
    yield ""
    yield "[taken.numbers]"
    yield from (f"{_key(name)} = {_quoted(text)}" for name, text in taken.numbers.items())


def _quoted(text: str) -> str:
    import tomlkit

    return tomlkit.item(text).as_string()


def _key(name: str) -> str:
    import tomlkit

    return str(tomlkit.key([name]).as_string())


def _newline(content: bytes) -> str:
    return "\r\n" if b"\r\n" in content else "\n"


def _encoded(lines: list[str]) -> bytes:
    return ("\n".join(lines) + "\n").encode("utf-8")


def _appended(content: bytes, lines: Iterator[str]) -> bytes:
    """The file and then these lines, after an empty one, ended as its own lines are."""
    newline = _newline(content)
    text = newline.join([*lines, ""])
    gap = newline if content.endswith(b"\n") else newline * 2
    return content + (gap + text if content.strip() else text).encode("utf-8")


def _is_inline(content: bytes) -> bool:
    """Whether the alternatives are written as one list, to which no table can be appended."""
    from tomlkit.items import AoT

    return not isinstance(_styled(content).get("alternatives"), AoT)


def _with_inline(content: bytes, alternative: Alternative) -> bytes:
    import tomlkit

    document = _styled(content)
    changes = ", ".join(
        "{" + ", ".join(f"{name} = {value}" for name, value in _change_keys(change)) + "}"
        for change in alternative.changes
    )
    text = (
        f"{{id = {_quoted(alternative.id)}, name = {_quoted(alternative.name)}, "
        f"changes = [{changes}]}}"
    )
    document["alternatives"].append(tomlkit.value(text))
    return _dumped(document, content)


def _styled(content: bytes) -> Any:
    """The file's keys with all their blanks and comments, so that they can be written back."""
    import tomlkit

    return tomlkit.parse(content.removeprefix(BOM_UTF8).decode("utf-8"))


def _dumped(document: Any, content: bytes) -> bytes:
    """The file again, with the mark at its head where it had one."""
    import tomlkit

    mark = BOM_UTF8 if content.startswith(BOM_UTF8) else b""
    return mark + tomlkit.dumps(document).encode("utf-8")
