"""The licences of what is installed to run, and of what its wheels bring: each is in the docs.

The outside: the metadata and the licence files of the packages as installed (PEP 639, and the
classifiers before it).
"""

import re
from importlib.metadata import Distribution, PackageNotFoundError, distribution

import pytest

from architecture.reading import ROOT

PAGE = (ROOT / "docs" / "licences.md").read_text(encoding="utf-8")
LICENCES, LIBRARIES = (
    [re.split(r" \| ", line.strip("| "))[0] for line in part.splitlines() if line.startswith("| ")]
    for part in PAGE.split("## Libraries")
)
LISTED = set(LICENCES) - {"licence"}
BROUGHT = {name.strip(" *") for row in LIBRARIES for name in row.split(",")} - {"library"}
LOCKED = set(
    re.findall(
        r"^([a-z0-9._-]+)==", (ROOT / "requirements/run.txt").read_text("utf-8"), re.MULTILINE
    )
)
# How packages that state no expression of PEP 639 name theirs.
NAMED = {
    "MIT License": "MIT",
    "The MIT License (MIT)": "MIT",
    "ISC License (ISCL)": "ISC",
    "BSD License": "BSD-3-Clause",
    "3-Clause BSD License": "BSD-3-Clause",
    "Apache Software License": "Apache-2.0",
}
# Their metadata name none; read by hand in the licence that lies in the wheel.
READ_BY_HAND = {"embreex": ("BSD-2-Clause", "Redistributions in binary form")}


def installed() -> list[Distribution]:
    found = []
    for name in sorted(LOCKED):
        try:
            found.append(distribution(name))
        except PackageNotFoundError:  # of another system
            continue
    return found


def licences(package: Distribution) -> set[str]:
    """The identifiers that a package's metadata state."""
    stated = package.metadata.get("License-Expression")
    if stated:
        return set(re.split(r" (?:AND|OR) ", stated.strip("()")))
    kinds = [
        each.rpartition(" :: ")[2]
        for each in package.metadata.get_all("Classifier") or []
        if each.startswith("License :: ")
    ]
    first = (package.metadata.get("License") or "").splitlines()[:1]
    return {NAMED.get(each, each) for each in kinds or first}


def libraries(package: Distribution) -> set[str]:
    """The libraries that a wheel brings in a folder of its own, without their versions."""
    names = [file.name for file in package.files or () if ".libs/" in str(file)]
    plain = [re.sub(r"(-[0-9a-f]{8})*\.(so|dylib|dll).*$", "", name) for name in names]
    return {"libabsl" if name.startswith("libabsl_") else name for name in plain}


PACKAGES = installed()


def test_what_is_installed_is_what_is_locked():
    assert len(PACKAGES) > 30
    assert "GPL" not in " ".join(LISTED)


@pytest.mark.parametrize("package", PACKAGES, ids=lambda each: each.name)
def test_the_licence_of_a_package_is_listed(package):
    name = package.name.lower()
    if name in READ_BY_HAND:
        licence, words = READ_BY_HAND[name]
        assert licence in LISTED
        assert words in licence_texts(package)
        return
    found = licences(package)
    assert found, "no licence is stated"
    assert found <= LISTED


@pytest.mark.parametrize("package", PACKAGES, ids=lambda each: each.name)
def test_each_library_that_a_wheel_brings_is_listed(package):
    assert libraries(package) <= BROUGHT


def test_the_runtime_of_the_fortran_compiler_is_under_its_exception():
    texts = licence_texts(distribution("numpy"))
    assert "GCC RUNTIME LIBRARY EXCEPTION" in texts
    assert re.search(r"libgfortran.*?GPL-3\.0-or-later WITH GCC-exception-3\.1", texts, re.DOTALL)
    assert re.search(r"libquadmath.*?LGPL-2\.1-or-later", texts, re.DOTALL)
    assert re.search(r"openblas.*?BSD-3-Clause", texts, re.DOTALL | re.IGNORECASE)


def test_pip_and_setuptools_are_pinned_with_what_sets_up():
    locked = (ROOT / "requirements/build.txt").read_text("utf-8")
    for name in ("pip", "setuptools"):
        assert re.search(rf"^{name}==[\d.]+ \\$", locked, re.MULTILINE)


def licence_texts(package: Distribution) -> str:
    return "\n".join(
        file.read_text()
        for file in package.files or ()
        if "dist-info" in str(file) and re.search(r"LICEN[CS]E|COPYING", str(file).upper())
    )
