"""One reader against bytes that nobody meant: a process of its own, because libraries may crash.

    python fuzz_reader.py FORMAT SECONDS CORPUS [SEED]

FORMAT is stl, obj, ply, glb or 3mf; CORPUS a folder of files to begin with, where atheris (a
coverage-guided fuzzer, libFuzzer for Python) keeps what reaches new code. Where atheris is not to
be had, the files are changed at random from SEED. What is found is left as a file beside CORPUS,
and the process ends with another status than 0.
"""

import io
import random
import sys
import time
import zipfile
from pathlib import Path

import numpy as np

from sixwright.kernel.errors import MeshError
from sixwright.numerics.mesh.survey import survey
from storage.meshes import made

FORMAT, SECONDS = sys.argv[1], int(sys.argv[2])
CORPUS = Path(sys.argv[3])
MOST_SECONDS_EACH = 20
MOST_MEGABYTES = 3000
MOST_WORDS = 500

try:
    import atheris
except ImportError:
    atheris = None

if atheris:
    with atheris.instrument_imports(
        include=["sixwright.storage.meshes"], enable_loader_override=False
    ):
        from sixwright.storage.meshes import formats, load
else:
    from sixwright.storage.meshes import formats, load


PACKED = ("[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model")


def one(data: bytes) -> None:
    """Read what these bytes are: a mesh that holds together, or a refusal in a sentence."""
    content = packed(data) if FORMAT == "3mf" and data[:1] == b"\1" else bytes(data)
    try:
        raw = formats.read(content, f"a.{FORMAT}")
        mesh, _, facts = load.welded(raw)
    except MeshError as refusal:
        said = str(refusal)
        if len(said) > MOST_WORDS or "\n" in said or not said.endswith("."):
            raise AssertionError(f"not a sentence: {said!r}") from refusal
        return
    if not np.isfinite(mesh.vertices).all() or facts.triangles < len(mesh.faces):
        raise AssertionError("a mesh that cannot be")
    survey(mesh)


def packed(data: bytes) -> bytes:
    """A 3MF whose parts are these bytes: a fuzzer never gets an archive's sums right itself."""
    parts = data[1:].split(b"\0\0", maxsplit=1)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(PACKED[0], made.TYPES)
        archive.writestr(PACKED[1], parts[1] if len(parts) > 1 else made.RELATIONS)
        archive.writestr(PACKED[2], parts[0])
    return out.getvalue()


def at_random(seed: int) -> None:
    """Change the corpus's files at random until the time is over."""
    rng = random.Random(seed)  # noqa: S311  no secret
    files = [path.read_bytes() for path in sorted(CORPUS.iterdir())]
    end = time.monotonic() + SECONDS
    count = 0
    while time.monotonic() < end:
        data = changed(rng.choice(files), rng)
        begun = time.monotonic()
        try:
            one(data)
        except BaseException:
            (CORPUS.parent / f"crash-{FORMAT}-{count}").write_bytes(data)
            raise
        if time.monotonic() - begun > MOST_SECONDS_EACH:
            (CORPUS.parent / f"slow-{FORMAT}-{count}").write_bytes(data)
            raise AssertionError("it takes too long")
        count += 1


def changed(data: bytes, rng: random.Random) -> bytes:
    out = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 4, 16))):
        at = rng.randrange(len(out) + 1)
        kind = rng.random()
        if kind < 0.4 and at < len(out):
            out[at] = rng.choice((0, 1, 9, 10, 32, 45, 127, 128, 255, rng.randrange(256)))
        elif kind < 0.6:
            del out[at : at + rng.choice((1, 2, 4, 50, 500))]
        elif kind < 0.8:
            out[at:at] = rng.choice(
                (b"-1", b"9" * 20, b"nan", b"1e999", b"\xff" * 4, b"\0" * 4, b"/", b"\n", b"0")
            )
        else:
            start = rng.randrange(len(out) + 1)
            out[at:at] = out[start : start + rng.choice((4, 50, 500))]
    return bytes(out)


if __name__ == "__main__":
    if atheris:
        atheris.Setup(
            [
                sys.argv[0],
                f"-max_total_time={SECONDS}",
                f"-timeout={MOST_SECONDS_EACH}",
                f"-rss_limit_mb={MOST_MEGABYTES}",
                "-max_len=8192",
                f"-artifact_prefix={CORPUS.parent}/",
                "-print_final_stats=1",
                str(CORPUS),
            ],
            one,
        )
        atheris.Fuzz()
    else:
        at_random(int(sys.argv[4]) if len(sys.argv) > 4 else 0)
