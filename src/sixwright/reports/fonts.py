"""The bundled fonts as style sheet: linked from pages, embedded in a report.

They are laid beside this package at set-up; where they are absent, the system's fonts serve.
"""

from base64 import b64encode
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

FONTS = Path(__file__).parent / "assets" / "fonts"


@dataclass(frozen=True, slots=True)
class Face:
    """One face of a family, as its files are named."""

    family: str
    stem: str
    weight: int
    style: str


@dataclass(frozen=True, slots=True)
class Script:
    """The characters that one file of a face holds, as style sheets write ranges."""

    name: str
    ranges: str

    def holds_any_of(self, text: str) -> bool:
        """Whether the text has a character of this script."""
        spans = [tuple(span.removeprefix("U+").split("-")) for span in self.ranges.split(", ")]
        bounds = [(int(span[0], 16), int(span[-1], 16)) for span in spans]
        return any(low <= ord(mark) <= high for mark in set(text) for low, high in bounds)


FACES = (
    Face("Source Serif 4", "source-serif-4", 400, "normal"),
    Face("Source Serif 4", "source-serif-4", 400, "italic"),
    Face("Source Serif 4", "source-serif-4", 600, "normal"),
    Face("Source Sans 3", "source-sans-3", 400, "normal"),
    Face("Source Sans 3", "source-sans-3", 600, "normal"),
)
SCRIPTS = (
    Script(
        "latin",
        "U+0000-00FF, U+0131, U+0152-0153, U+02BB-02BC, U+02C6, U+02DA, U+02DC, U+2000-206F, "
        "U+20AC, U+2122, U+2191, U+2193, U+2212, U+2215, U+FEFF, U+FFFD",
    ),
    Script("latin-ext", "U+0100-0130, U+0132-0151, U+0154-024F, U+1E00-1EFF, U+20A0-20AB"),
)


def linked(address: str) -> str:
    """`@font-face` rules whose files are fetched from `address`."""
    return _rules(SCRIPTS, lambda path: f"{address}/{path.name}")


def embedded(text: str) -> str:
    """`@font-face` rules that carry the fonts in themselves: the scripts that `text` is in."""
    needed = tuple(script for script in SCRIPTS if script.holds_any_of(text))
    return _rules(needed, _data)


def _rules(scripts: tuple[Script, ...], source: Callable[[Path], str]) -> str:
    return "\n".join(
        f"@font-face{{font-family:'{face.family}';font-style:{face.style};"
        f"font-weight:{face.weight};font-display:swap;"
        f"src:url({source(path)}) format('woff2');unicode-range:{script.ranges}}}"
        for face, script, path in _files(scripts)
    )


def _files(scripts: tuple[Script, ...]) -> Iterator[tuple[Face, Script, Path]]:
    """Each face and script whose file was laid there."""
    for face in FACES:
        for script in scripts:
            path = FONTS / f"{face.stem}-{script.name}-{face.weight}-{face.style}.woff2"
            if path.is_file():
                yield face, script, path


def _data(path: Path) -> str:
    return f"data:font/woff2;base64,{b64encode(path.read_bytes()).decode('ascii')}"
