"""What a docstring lists is there: no field, parameter or name in code of another day."""

import ast
import io
import re
import tokenize
from collections.abc import Iterator

from architecture.reading import place, python_files, tree_of

NAMED = re.compile(r"(?<!`)`([A-Za-z_][\w.]*)`")
TEXT = re.compile(r"""["']([a-z_0-9]+)["']""")
OUTSIDE = {"html", "j2", "SIXWRIGHT_CONFIG", "SIXWRIGHT_CACHE"}  # files and settings


def _listed(node: ast.AST, heading: str) -> Iterator[str]:
    """The names that a section lists, each on a line of its own or beside others."""
    told = ast.get_docstring(node) or ""
    section = re.search(rf"{heading}\n-+\n(.*?)(?:\n\n[A-Z]\w+\n-+|\Z)", told, re.DOTALL)
    for line in section[1].splitlines() if section else ():
        if line and not line.startswith(" "):
            yield from (word.strip("`: *") for word in line.split(","))


def _fields(node: ast.ClassDef) -> set[str]:
    """What a class and its methods name: fields, methods, attributes that are set."""
    found = {each.attr for each in ast.walk(node) if isinstance(each, ast.Attribute)}
    for each in node.body:
        if isinstance(each, ast.FunctionDef):
            found.add(each.name)
        targets = getattr(each, "targets", [getattr(each, "target", None)])
        found |= {target.id for target in targets if isinstance(target, ast.Name)}
    return found


def _parameters(node: ast.FunctionDef | ast.AsyncFunctionDef) -> set[str]:
    a = node.args
    every = [*a.posonlyargs, *a.args, *a.kwonlyargs, *filter(None, (a.vararg, a.kwarg))]
    return {each.arg for each in every}


def test_what_a_docstring_lists_are_fields_and_parameters():
    absent, listed = [], 0
    for path in python_files():
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.ClassDef):
                heading, there = "Attributes", _fields(node)
            elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                heading, there = "Parameters", _parameters(node)
            else:
                continue
            names = list(_listed(node, heading))
            listed += len(names)
            absent += [f"{place(path, node)} {name}" for name in names if name not in there]
    assert listed > 1000
    assert absent == []


def test_what_stands_in_backticks_is_a_name_of_the_source():
    files = {path: path.read_text(encoding="utf-8") for path in python_files()}
    known = OUTSIDE | {part for path in files for part in (*path.parts, path.stem)}
    for text in files.values():
        tokens = tokenize.generate_tokens(io.StringIO(text).readline)
        known |= {token.string for token in tokens if token.type == tokenize.NAME}
        known |= set(TEXT.findall(text))
    named = [(path, name[1]) for path, text in files.items() for name in NAMED.finditer(text)]
    assert len(named) > 500
    absent = {(path.name, name) for path, name in named if not known.issuperset(name.split("."))}
    assert absent == set()
