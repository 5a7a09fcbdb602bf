"""Build what the pages and the print need from npm packages: client bundle and fonts.

    python tools/build_client.py            build what is out of date
    python tools/build_client.py --check    type-check the client, write nothing

The outputs are not committed: `client.js` and `viewer.js` in `src/sixwright/web/static/`, and
`src/sixwright/reports/assets/fonts/` (WOFF2 for pages, static TTF for print, and the licence of
each family). Both are packed in the wheel. npm runs with `--ignore-scripts`, from a lock file
that names no registry. Node is the system's, or else the one in requirements/node.txt.
"""

import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
CLIENT = ROOT / "src/sixwright/web/client"
PACKAGES = CLIENT / "node_modules"
STATIC = ROOT / "src/sixwright/web/static"
# What every page loads, and what only a page with a sculpt in space does.
BUNDLES = (("main.ts", STATIC / "client.js"), ("viewer.ts", STATIC / "viewer.js"))
FONTS = ROOT / "src/sixwright/reports/assets/fonts"
STAMP = ROOT / "build/.client-key"
PACKAGES_STAMP = PACKAGES / ".lock-key"
NODE_AT_LEAST = 18  # esbuild's own requirement


@dataclass(frozen=True, slots=True)
class Family:
    """One font family: its package name, its name in TTF file names, and the faces to copy."""

    package: str
    ttf_stem: str
    web_faces: tuple[str, ...]


FAMILIES = (
    Family("source-serif-4", "SourceSerif4", ("400-normal", "400-italic", "600-normal")),
    Family("source-sans-3", "SourceSans3", ("400-normal", "600-normal")),
)
SCRIPTS = ("latin", "latin-ext")
PRINT_FACES = ("400Regular", "400Regular_Italic", "600SemiBold")


def font_copies() -> Iterator[tuple[Path, Path]]:
    """Each font and licence file as npm delivers it, and where it goes."""
    for family in FAMILIES:
        web = PACKAGES / "@fontsource" / family.package
        for script in SCRIPTS:
            for face in family.web_faces:
                name = f"{family.package}-{script}-{face}.woff2"
                yield web / "files" / name, FONTS / name
        print_ = PACKAGES / "@expo-google-fonts" / family.package
        for face in PRINT_FACES:
            name = f"{family.ttf_stem}_{face}.ttf"
            yield print_ / face / name, FONTS / name
        yield print_ / "LICENSE_FONT", FONTS / f"{family.package}-LICENSE.txt"


def inputs_key() -> str:
    """A checksum of all that the outputs are made from."""
    digest = hashlib.sha256()
    files = [CLIENT / "package-lock.json", CLIENT / "tsconfig.json", Path(__file__)]
    for path in [*files, *sorted((CLIENT / "src").rglob("*.ts"))]:
        digest.update(path.relative_to(ROOT).as_posix().encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()


def is_current(key: str) -> bool:
    """Whether every output stands and was made from the inputs as they are now."""
    made = STAMP.is_file() and STAMP.read_text() == key
    return (
        made
        and all(file.is_file() for _, file in BUNDLES)
        and all(copy.is_file() for _, copy in font_copies())
    )


def system_node() -> str | None:
    """The folder of a Node on the PATH that is new enough and has npm beside it, or None."""
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is None or npm is None:
        return None
    said = subprocess.run([node, "--version"], capture_output=True, text=True, check=False)
    major = said.stdout.strip().removeprefix("v").split(".", maxsplit=1)[0]
    return npm if major.isdigit() and int(major) >= NODE_AT_LEAST else None


def environment_with_node() -> dict[str, str]:
    """The environment in which `node` and `npm` are found, installing Node where there is none."""
    environment = dict(os.environ)
    if system_node() is not None:
        return environment
    scripts = Path(sys.executable).parent
    if not any((scripts / name).exists() for name in ("node", "node.exe")):
        print("No Node 18 or newer was found; installing the one in requirements/node.txt.")
        lock = str(ROOT / "requirements/node.txt")
        pip = [sys.executable, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
        subprocess.run([*pip, "--require-hashes", "-r", lock], check=True)
    environment["PATH"] = os.pathsep.join([str(scripts), environment.get("PATH", "")])
    return environment


def run(command: list[str], environment: dict[str, str]) -> None:
    """Run a command of the client's folder; stop with its own message where it fails."""
    found = shutil.which(command[0], path=environment.get("PATH"))
    if found is None:
        raise SystemExit(f"{command[0]} must be on the PATH to build the client; it was not found.")
    result = subprocess.run([found, *command[1:]], cwd=CLIENT, env=environment, check=False)
    if result.returncode:
        raise SystemExit(f"“{' '.join(command)}” failed with status {result.returncode}.")


def install_packages(environment: dict[str, str]) -> None:
    """`npm ci`, unless the installed packages already are those of the lock."""
    key = hashlib.sha256((CLIENT / "package-lock.json").read_bytes()).hexdigest()
    if PACKAGES_STAMP.is_file() and PACKAGES_STAMP.read_text() == key:
        return
    run(["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error"],
        environment)  # fmt: skip
    PACKAGES_STAMP.write_text(key)


def check_types(environment: dict[str, str]) -> None:
    """Type-check the client's sources; writes nothing."""
    run(["npm", "exec", "--offline", "--", "tsc", "--noEmit", "-p", "tsconfig.json"], environment)


def bundle(environment: dict[str, str]) -> None:
    """Bundle the client into the files that the pages load."""
    options = ["--bundle", "--minify", "--format=esm", "--target=es2022", "--log-level=warning"]
    for entry, file in BUNDLES:
        target = os.path.relpath(file, CLIENT)
        run(["npm", "exec", "--offline", "--", "esbuild", f"src/{entry}", *options,
             f"--outfile={target}"], environment)  # fmt: skip


def copy_fonts() -> None:
    """Lay the fonts and their licences where pages and print look for them."""
    shutil.rmtree(FONTS, ignore_errors=True)
    FONTS.mkdir(parents=True)
    for source, copy in font_copies():
        shutil.copyfile(source, copy)


def main(arguments: list[str]) -> None:
    """Build what is out of date, or only check."""
    if arguments not in ([], ["--check"]):
        raise SystemExit(__doc__)
    key = inputs_key()
    if not arguments and is_current(key):
        return
    environment = environment_with_node()
    install_packages(environment)
    check_types(environment)
    if arguments:
        return
    bundle(environment)
    copy_fonts()
    STAMP.parent.mkdir(exist_ok=True)
    STAMP.write_text(key)


if __name__ == "__main__":
    main(sys.argv[1:])
