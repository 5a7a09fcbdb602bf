"""What the architecture tests read: the committed files and the source's syntax trees."""

import ast
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SRC = ROOT / "src/sixwright"


def python_files(*folders: str) -> list[Path]:
    """Every module of these folders of the source; of all of it where none is named."""
    roots = [SRC / folder for folder in folders] or [SRC]
    files = [path for root in roots for path in sorted(root.rglob("*.py"))]
    return [path for path in files if "node_modules" not in path.parts]


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def place(path: Path, node: ast.AST) -> str:
    """File and line, as an editor opens them."""
    return f"{path.relative_to(ROOT).as_posix()}:{node.lineno}"


@cache
def committed_files() -> tuple[Path, ...]:
    """Every file that git holds or would take up at the next commit."""
    ours = f"safe.directory={ROOT.as_posix()}"  # though another account may have fetched it
    listed = subprocess.run(
        ["git", "-c", ours, "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    )
    names = [name for name in listed.stdout.decode().split("\0") if name]
    return tuple(path for name in names if (path := ROOT / name).is_file())


def committed_texts() -> Iterator[tuple[str, str]]:
    """Name and text of every committed file that is text."""
    for path in committed_files():
        content = path.read_bytes()
        if b"\0" not in content[:8192]:
            yield path.relative_to(ROOT).as_posix(), content.decode("utf-8", errors="replace")


def imported_names(tree: ast.Module) -> dict[str, str]:
    """What each imported name stands for: `{"np": "numpy", "date": "datetime.date"}`."""
    names: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                head = alias.name.split(".")[0]
                names[alias.asname or head] = alias.name if alias.asname else head
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            for alias in node.names:
                names[alias.asname or alias.name] = f"{node.module}.{alias.name}"
    return names


def imported_modules(tree: ast.Module) -> Iterator[tuple[ast.stmt, str]]:
    """Each import statement and each dotted name that it could import."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node, alias.name
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            for alias in node.names:
                yield node, f"{node.module}.{alias.name}"


def dotted(node: ast.expr, names: dict[str, str]) -> str:
    """The full dotted name of an expression, through the module's imports; empty if it has none."""
    if isinstance(node, ast.Name):
        return names.get(node.id, node.id)
    if isinstance(node, ast.Attribute):
        owner = dotted(node.value, names)
        return f"{owner}.{node.attr}" if owner else ""
    return ""
