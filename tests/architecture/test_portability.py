"""The source runs on Windows as on POSIX: nothing in it exists on one of them only."""

import ast
from collections.abc import Iterator

import pytest

from architecture.reading import (
    dotted,
    imported_modules,
    imported_names,
    place,
    python_files,
    tree_of,
)

MODULES = {
    "fcntl", "pwd", "grp", "termios", "tty", "pty", "resource", "syslog", "posix", "readline",
    "curses", "msvcrt", "winreg", "winsound",
}  # fmt: skip
NAMES = {
    *(f"os.{name}" for name in (
        "fork", "forkpty", "getuid", "geteuid", "getgid", "getegid", "setuid", "setgid", "setsid",
        "killpg", "getpgid", "setpgid", "mkfifo", "mknod", "chown", "fchown", "lchown", "fchmod",
        "chroot", "nice", "uname", "getloadavg", "wait", "waitid", "sched_getaffinity", "sync",
        "fdatasync", "O_DIRECTORY", "O_NOFOLLOW", "O_CLOEXEC", "startfile", "statvfs")),
    *(f"signal.{name}" for name in (
        "SIGKILL", "SIGHUP", "SIGALRM", "SIGUSR1", "SIGUSR2", "SIGCHLD", "SIGSTOP", "SIGCONT",
        "SIGQUIT", "SIGPIPE", "alarm", "setitimer", "pause", "sigwait", "pthread_kill")),
}  # fmt: skip
FORKS = {"fork", "forkserver"}


def one_system_only(tree: ast.Module) -> Iterator[tuple[ast.AST, str]]:
    """Each use of something that one system has and another has not."""
    names = imported_names(tree)
    for node, module in imported_modules(tree):
        if module.split(".")[0] in MODULES or module in NAMES:
            yield node, module
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and (name := dotted(node, names)) in NAMES:
            yield node, name
        if isinstance(node, ast.Call) and (
            dotted(node.func, names).endswith(("get_context", "set_start_method"))
        ):
            chosen = [arg.value for arg in node.args if isinstance(arg, ast.Constant)]
            if not chosen or FORKS & set(chosen):
                yield node, "a process start other than spawn"


def unsaid_encodings(tree: ast.Module) -> Iterator[ast.Call]:
    """Each text read or written in whatever encoding the machine happens to prefer."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        keywords = {keyword.arg for keyword in node.keywords}
        if (
            isinstance(node.func, ast.Attribute)
            and node.func.attr in {"read_text", "write_text"}
            and "encoding" not in keywords
            and len(node.args) < (1 if node.func.attr == "read_text" else 2)
        ):
            yield node


def test_nothing_in_the_source_is_of_one_system_only():
    found = [f"{place(path, node)} {name}" for path in python_files()
             for node, name in one_system_only(tree_of(path))]  # fmt: skip
    assert found == []


def test_every_text_says_its_encoding():
    found = [place(path, node) for path in python_files()
             for node in unsaid_encodings(tree_of(path))]  # fmt: skip
    assert found == []


@pytest.mark.parametrize(
    "text",
    ["import fcntl", "from pwd import getpwnam", "import os\nos.fork()", "from os import fork",
     "import signal as s\ns.signal(s.SIGKILL, f)",
     "import multiprocessing as m\nm.get_context('fork')",
     "import multiprocessing\nmultiprocessing.get_context()"],
)  # fmt: skip
def test_the_rule_sees_what_one_system_lacks(text):
    assert list(one_system_only(ast.parse(text)))


@pytest.mark.parametrize(
    "text",
    ["import os\nos.fsync(f)", "import signal\nsignal.SIGTERM",
     "import multiprocessing as m\nm.get_context('spawn')"],
)  # fmt: skip
def test_the_rule_leaves_what_both_have_alone(text):
    assert not list(one_system_only(ast.parse(text)))
