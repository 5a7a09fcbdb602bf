"""What may lie in the repository: no machine's paths, no registry's name, nothing that is built."""

import json
import re
from pathlib import Path

import pytest

from architecture.reading import ROOT, committed_files, committed_texts

# Written in pieces, so that this file is not one of its own findings.
REGISTRIES = re.compile(
    "|".join(
        re.escape(".".join(parts))
        for parts in (
            ("pypi", "org"), ("pythonhosted", "org"), ("npmjs", "org"), ("npmjs", "com"),
            ("yarnpkg", "com"), ("deb", "debian", "org"), ("jsdelivr", "net"), ("unpkg", "com"),
            ("cdnjs", "cloudflare", "com"), ("fonts", "googleapis", "com"),
            ("fonts", "gstatic", "com"), ("proxy", "golang", "org"), ("crates", "io"),
        )
    ),
    re.IGNORECASE,
)  # fmt: skip
MACHINE = re.compile(
    r"(?<![\w.~])/(?:" + "|".join(("wo" + "rk", "ro" + "ot", "fa" + "rm", "ho" + "me")) + r")/\w"
    r"|/tmp/" + r"\w|[A-Z]:\\\\Us" + r"ers"
)
ADDRESS = re.compile(r"https?://(?P<host>[\w.-]+)")
# Names that identify and are never fetched, and this machine itself.
OUR_ADDRESSES = {"www.w3.org", "json-schema.org", "127.0.0.1", "localhost"}
MOST_BYTES = 1_500_000
LOCKS = sorted((ROOT / "requirements").glob("*.txt"))


def _lines(pattern: re.Pattern[str], *, under: str = "") -> list[str]:
    return [
        f"{name}:{number} {found[0]}"
        for name, text in committed_texts()
        if name.startswith(under)
        for number, line in enumerate(text.splitlines(), 1)
        if (found := pattern.search(line))
    ]


def test_no_registry_is_named():
    assert _lines(REGISTRIES) == []


def test_no_path_of_a_machine_is_named():
    assert _lines(MACHINE) == []


def test_the_source_names_no_address_outside():
    found = [
        f"{name}: {host}"
        for name, text in committed_texts()
        if name.startswith("src/") and not name.endswith("package-lock.json")
        for host in ADDRESS.findall(text)
        if host not in OUR_ADDRESSES
    ]
    assert found == []


def test_no_lock_file_that_records_hosts():
    recording = {"uv.lock", "pylock.toml", "poetry.lock", "pdm.lock", "yarn.lock"}
    assert [path for path in committed_files() if path.name in recording] == []


def test_nothing_built_is_committed():
    built = {".woff2", ".woff", ".ttf", ".otf", ".whl", ".pyc", ".wasm"}
    assert [path for path in committed_files() if path.suffix in built] == []
    assert ROOT / "src/sixwright/web/static/client.js" not in committed_files()


def test_no_file_is_larger_than_a_reader_would_fetch():
    sizes = {path.relative_to(ROOT).as_posix(): path.stat().st_size for path in committed_files()}
    assert {name: size for name, size in sizes.items() if size > MOST_BYTES} == {}


def test_there_are_locks():
    named = {"run.txt", "test.txt", "build.txt", "node.txt", "bench.txt"}
    assert {lock.name for lock in LOCKS} == named


@pytest.mark.parametrize("lock", LOCKS, ids=lambda path: path.name)
def test_every_requirement_is_pinned_and_hashed(lock: Path):
    text = lock.read_text(encoding="utf-8")
    assert "://" not in text
    assert "make lock" in text.splitlines()[1]
    entries = re.split(r"\n(?=[a-z0-9])", text.split("\n", 2)[2])
    loose = [
        entry.splitlines()[0]
        for entry in entries
        if not re.match(r"[a-z0-9][a-z0-9.\-\[\]]*==\S+ ", entry) or "--hash=sha256:" not in entry
    ]
    assert loose == []


def _versions(lock: Path) -> set[str]:
    return set(
        re.findall(r"^[a-z0-9][^\s\\]*==\S+", lock.read_text(encoding="utf-8"), re.MULTILINE)
    )


def test_what_the_tests_use_is_what_runs():
    requirements = ROOT / "requirements"
    assert _versions(requirements / "run.txt") <= _versions(requirements / "test.txt")


def test_the_npm_lock_has_checksums_and_no_addresses_of_packages():
    lock = ROOT / "src/sixwright/web/client/package-lock.json"
    packages = json.loads(lock.read_text(encoding="utf-8"))["packages"]
    delivered = {name: entry for name, entry in packages.items() if name}
    assert delivered
    assert [name for name, entry in delivered.items() if "resolved" in entry] == []
    assert [name for name, entry in delivered.items() if "integrity" not in entry] == []
