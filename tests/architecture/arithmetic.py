"""Where a syntax tree does arithmetic on numbers; paths joined by `/` and text by `+` do not count.

The rule is conservative: whatever it cannot see to be a path or a text counts as arithmetic.
"""

import ast
from collections.abc import Iterator

from jinja2 import Environment, nodes

PATH_WORDS = ("path", "dir", "directory", "folder", "root", "file", "home", "here", "parent")
COUNTING_CALLS = {"sum", "round", "divmod", "pow", "abs"}
COUNTING_FILTERS = {"sum", "round", "abs", "float", "int"}
IN_TEMPLATES = (nodes.Add, nodes.Sub, nodes.Mul, nodes.Div, nodes.FloorDiv, nodes.Mod, nodes.Pow)


def arithmetic_in(tree: ast.AST) -> Iterator[ast.AST]:
    """Each operation on numbers, and each call that counts."""
    for node in ast.walk(tree):
        if isinstance(node, ast.BinOp):
            if not _joins(node.op, node.left, node.right):
                yield node
        elif isinstance(node, ast.AugAssign):
            if not _joins(node.op, node.target, node.value):
                yield node
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            if node.func.id in COUNTING_CALLS:
                yield node
        elif isinstance(node, ast.Import | ast.ImportFrom) and _is_of_numbers(node):
            yield node


def arithmetic_in_template(text: str) -> Iterator[nodes.Node]:
    """The same for a Jinja template; `~` joins text and is free."""
    tree = Environment(autoescape=True).parse(text)
    yield from tree.find_all(IN_TEMPLATES)
    yield from (node for node in tree.find_all(nodes.Filter) if node.name in COUNTING_FILTERS)


def _joins(op: ast.operator, left: ast.expr, right: ast.expr) -> bool:
    """Whether the operation joins paths, texts or types rather than numbers."""
    if isinstance(op, ast.Div):
        return _is_path(left)
    if isinstance(op, ast.Add):
        return _is_text(left) or _is_text(right)
    return isinstance(op, ast.BitOr | ast.BitAnd | ast.BitXor)


def _is_path(node: ast.expr) -> bool:
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div):
        return _is_path(node.left)
    name = _last_name(node.func if isinstance(node, ast.Call) else node)
    return name.lower().rstrip("s").endswith(PATH_WORDS)


def _is_text(node: ast.expr) -> bool:
    if isinstance(node, ast.JoinedStr):
        return True
    if isinstance(node, ast.Constant):
        return isinstance(node.value, str)
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add):
        return _is_text(node.left) or _is_text(node.right)
    if isinstance(node, ast.Call):
        function = node.func
        joined = isinstance(function, ast.Attribute) and function.attr == "join"
        return joined or (isinstance(function, ast.Name) and function.id == "str")
    return False


def _last_name(node: ast.expr) -> str:
    if isinstance(node, ast.Name):
        return node.id
    return node.attr if isinstance(node, ast.Attribute) else ""


def _is_of_numbers(node: ast.Import | ast.ImportFrom) -> bool:
    modules = (
        [alias.name for alias in node.names]
        if isinstance(node, ast.Import)
        else [node.module or ""]
    )
    return any(module.split(".")[0] in {"math", "numpy", "scipy", "operator"} for module in modules)
