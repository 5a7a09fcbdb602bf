"""Readers against bytes that nobody meant, and against all that was ever found so.

A found file lies in `found/` under the name that it was read by. `make slow` looks for new ones;
SIXWRIGHT_FUZZ_SECONDS says for how long each reader (60; 600 before a release).
"""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from numerics.mesh.shapes import box
from sixwright.kernel.errors import MeshError
from sixwright.numerics.mesh.survey import survey
from sixwright.storage.meshes.formats import read
from sixwright.storage.meshes.load import welded
from storage.meshes import made

HERE = Path(__file__).parent
FOUND = sorted((HERE / "found").iterdir())
SECONDS = int(os.environ.get("SIXWRIGHT_FUZZ_SECONDS", "60"))
ROUND_S = 60  # the fuzzer itself takes four kilobytes more at each try, and gives none back

BOX = box()
QUADS = [[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], [1, 5, 7]]
BACKWARDS = b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf -3 -2 -1\nf 1/1 2/2 \\\n3/3\n"
NESTED = (
    '<object id="2" type="model"><components><component objectid="1" '
    'transform="1 0 0 0 1 0 0 0 1 0 5 0"/></components></object>'
)
SEEDS = {
    "stl": [
        made.stl(BOX),
        made.stl_text(BOX),
        made.stl(BOX, count=0),
        made.stl(BOX, tail=b"x" * 9),
    ],
    "obj": [made.obj(BOX), made.obj(BOX, polygons=QUADS, form="{0}/{0}/{0}"), BACKWARDS],
    "ply": [
        made.ply(BOX, encoding=encoding, polygons=polygons, extra=extra, counted=counted)
        for encoding in ("ascii", "binary_little_endian", "binary_big_endian")
        for polygons, extra, counted in ((None, False, "uchar"), (QUADS, True, "int"))
    ],
    "glb": [made.glb(BOX), made.glb_of(*made.glb_header(BOX))],
    "3mf": [
        made.threemf(BOX),
        b"\1" + made.model_3mf(BOX).encode(),
        b"\1" + made.model_3mf(BOX, more=NESTED, build='<item objectid="2"/>').encode(),
        b"\1" + made.model_3mf(BOX).encode() + b"\0\0" + made.RELATIONS.encode(),
    ],
}


@pytest.mark.slow
@pytest.mark.timeout(SECONDS + 600)
@pytest.mark.parametrize("format_", SEEDS)
def test_no_bytes_do_more_than_be_read_or_be_refused(format_, tmp_path):
    corpus = tmp_path / "corpus"
    corpus.mkdir()
    for i, content in enumerate(SEEDS[format_]):
        (corpus / f"seed-{i}").write_bytes(content)
    for path in FOUND:
        if path.suffix == f".{format_}":
            (corpus / path.name).write_bytes(path.read_bytes())
    for begun in range(0, SECONDS, ROUND_S):
        seconds = str(min(ROUND_S, SECONDS - begun))
        done = subprocess.run(
            [sys.executable, HERE / "fuzz_reader.py", format_, seconds, corpus, str(begun)],
            env={**os.environ, "PYTHONPATH": str(HERE.parent.parent)},
            capture_output=True,
            text=True,
            timeout=ROUND_S + 300,
            check=False,
        )
        left = [p.name for p in tmp_path.iterdir() if p.is_file()]
        assert done.returncode == 0, f"{left}\n{(done.stdout + done.stderr)[-4000:]}"
        assert left == []


def test_there_is_a_corpus():
    assert FOUND


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.name)
def test_what_was_found_is_read_or_refused(path):
    begun = time.process_time()
    try:
        survey(welded(read(path.read_bytes(), path.name))[0])
    except MeshError as refusal:
        said = str(refusal)
        assert said.endswith(".")
        assert len(said) < 500
    assert time.process_time() - begun < 20  # seconds of work, however busy the machine
