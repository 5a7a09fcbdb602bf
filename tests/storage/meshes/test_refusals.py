"""What cannot be used is refused in one sentence that says what to do, and soon."""

import io
import struct
import zipfile
import zlib

import numpy as np
import pytest

from numerics.mesh.shapes import box, mesh
from sixwright.kernel.errors import MeshError
from sixwright.storage.meshes import raw, threemf_archive
from sixwright.storage.meshes.formats import read
from storage.meshes import made

STL = made.stl(made.TORUS)
TEXT = made.stl_text(made.TORUS)
PLY = made.ply(made.TORUS)
COUNT = len(made.TORUS.faces)


def with_places(places):
    return mesh(np.zeros((3, 3)), [[0, 1, 2]]).faces, np.asarray(places, np.float32)


def broken_stl(value):
    corners = np.zeros((3, 3), np.float32)
    corners[1, 0], corners[2, 1] = 1, value
    return b"\0" * 80 + struct.pack("<I", 1) + b"\0" * 12 + corners.tobytes() + b"\0\0"


def glb_with(**changes):
    return made.glb_of(*made.glb_header(made.TORUS, **changes))


GLB_BYTES = len(glb_with())


def lying_zip(real):
    """A 3MF whose list says that the model is small, and whose model is `real` bytes."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    packed = packer.compress(b" " * real) + packer.flush()
    name = b"3D/3dmodel.model"
    local = struct.pack("<4s5H3I2H", b"PK\3\4", 20, 0, 8, 0, 0, 0, len(packed), 100, len(name), 0)
    listed = struct.pack("<4s6H3I5H2I", b"PK\1\2", 20, 20, 0, 8, 0, 0, 0, len(packed), 100,
                         len(name), 0, 0, 0, 0, 0, 0) + name  # fmt: skip
    begin = local + name + packed
    end = struct.pack("<4s4H2IH", b"PK\5\6", 0, 0, 1, 1, len(listed), len(begin), 0)
    return begin + listed + end


def plain_zip(**members):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in members.items():
            archive.writestr(name.replace("_", "."), content)
    return out.getvalue()


# Name, content, and the sentence; “the mesh” is where the loader puts the file's name.
CASES = {
    "empty": (
        "a.stl",
        b"",
        (
            "expected a mesh, found an empty file; it was lost in copying; ask the sculptor to "
            "export and send it again."
        ),
    ),
    "truncated binary": (
        "a.stl",
        STL[:-60],
        (
            f"expected {COUNT} triangles, as its header says, found the end of the file after "
            f"{COUNT - 2}; it was probably cut off while it was copied or sent, so fetch it again."
        ),
    ),
    "a header that promises more": (
        "a.stl",
        made.stl(made.TORUS, count=4_000_000_000),
        (
            "expected 4,000,000,000 triangles, as its header says (200,000,000,084 bytes), "
            f"found room for {COUNT}; it is damaged, or it is no STL; ask the sculptor to export "
            "and send it again."
        ),
    ),
    "a header alone": (
        "a.stl",
        STL[:60],
        (
            "expected an STL of 84 bytes or more, found 60 bytes; it was probably cut off while "
            "it was copied or sent, so fetch it again."
        ),
    ),
    "truncated text": (
        "a.stl",
        TEXT[: len(TEXT) // 2],
        (
            "expected “endsolid” at the end of the text, found “vertex -3.80”; it was probably "
            "cut off while it was copied or sent, so fetch it again."
        ),
    ),
    "text named .stl": (
        "a.stl",
        b"Dear Ines, the head is in the other mail.\n",
        (
            "expected the triangles of an STL, found other text (it begins “Dear Ines, the head "
            "is in the other mail”); open it in a text editor: a message or a web page may have "
            "been saved under its name."
        ),
    ),
    "a web page named .obj": (
        "a.obj",
        b"<!DOCTYPE html>\n<title>Please log in</title>\n",
        (
            "expected the vertices and faces of an OBJ, found other text (it begins “<!DOCTYPE "
            "html>”); open it in a text editor: a message or a web page may have been saved "
            "under its name."
        ),
    ),
    "not a number": (
        "a.stl",
        broken_stl(np.nan),
        (
            "expected a number for every coordinate, found 1 of 3 vertices without (the first is "
            "vertex 3: 0, not a number, 0); ask the sculptor to export and send it again."
        ),
    ),
    "infinite": (
        "a.stl",
        broken_stl(np.inf),
        (
            "expected a number for every coordinate, found 1 of 3 vertices without (the first is "
            "vertex 3: 0, infinite, 0); ask the sculptor to export and send it again."
        ),
    ),
    "not a number in a text": (
        "a.obj",
        b"v 0 0 0\nv nan 0 0\nv 0 1 0\nf 1 2 3\n",
        (
            "expected a number for every coordinate, found 1 of 3 vertices without (the first is "
            "vertex 2: not a number, 0, 0); ask the sculptor to export and send it again."
        ),
    ),
    "a broken number": (
        "a.stl",
        broken_stl(3e38),
        (
            "expected coordinates up to 1,000,000,000, found one of 3e+38; the file is damaged, "
            "or its numbers are no lengths; ask the sculptor to export and send it again."
        ),
    ),
    "no triangles": (
        "a.ply",
        made.ply(box(), polygons=[]),
        (
            "expected at least one triangle, found 8 points and no triangle; ask for the "
            "surface to be exported, not only points."
        ),
    ),
    "no triangles in an STL": (
        "a.stl",
        made.stl(mesh(np.zeros((0, 3)), np.zeros((0, 3)))),
        (
            "expected at least one triangle, found none; ask for the surface to be exported, "
            "not only points."
        ),
    ),
    "a face of a vertex that is not there": (
        "a.obj",
        b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 9\n",
        (
            "expected faces of vertices 1 to 3, found a face of vertex 9; ask the sculptor to "
            "export and send it again."
        ),
    ),
    "a face of vertex 0": (
        "a.obj",
        b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 0 1 2\n",
        (
            "expected vertices from 1 on in line 4, found a face of a vertex before the first; "
            "ask the sculptor to export and send it again."
        ),
    ),
    "decimal commas": (
        "a.obj",
        b"v 0,5 0,25 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n",
        (
            "expected numbers with a decimal point in line 1, found “0,5”; the file was "
            "damaged, or it is not the mesh that its name says."
        ),
    ),
    "a short line": (
        "a.obj",
        b"v 0 0 0\nv 1 0\nv 0 1 0\nf 1 2 3\n",
        (
            "expected 3 numbers or more in line 2, found “v 1 0”; the file was damaged, or it "
            "is not the mesh that its name says."
        ),
    ),
    "a PLY cut off": (
        "a.ply",
        PLY[:-20],
        (
            f"expected {COUNT} of “face”, as its header says, found the end of the file after "
            f"{COUNT - 2}; it was probably cut off while it was copied or sent, so fetch it again."
        ),
    ),
    "a PLY that promises more": (
        "a.ply",
        PLY.replace(b"element vertex 432", b"element vertex 43200000"),
        (
            "expected 43,200,000 of “vertex”, as its header says, found room for 1,368; its "
            "header is wrong or the file was cut off; fetch it again."
        ),
    ),
    "a PLY of a cloud": (
        "a.ply",
        (
            b"ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\n"
            b"property float z\nend_header\n0 0 0\n"
        ),
        (
            "expected at least one triangle, found 1 point and no triangle; ask for the "
            "surface to be exported, not only points."
        ),
    ),
    "a PLY without places": (
        "a.ply",
        PLY.replace(b"property float y", b"property float w"),
        "expected x, y and z of the vertices, found the properties x w z; ask for a mesh.",
    ),
    "a PLY with a broken header": (
        "a.ply",
        PLY.replace(b"property float y", b"property real y"),
        (
            "expected an element, a property or a comment in line 5 of the header, found “property "
            "real y”; ask the sculptor to export and send it again."
        ),
    ),
    "a picture named .glb": (
        "a.glb",
        b"\x89PNG\r\n\x1a\n" + b"\0" * 500,
        (
            "expected an STL, OBJ, PLY, GLB or 3MF mesh, found a PNG picture; it was saved under a "
            "mesh's name; look for the mesh itself."
        ),
    ),
    "a photograph named .stl": (
        "a.stl",
        b"\xff\xd8\xff\xe0" + b"\0" * 500,
        (
            "expected an STL, OBJ, PLY, GLB or 3MF mesh, found a JPEG picture; it was saved "
            "under a mesh's name; look for the mesh itself."
        ),
    ),
    "an archive": (
        "head.stl",
        plain_zip(head_stl=STL),
        (
            "expected an STL, OBJ, PLY, GLB or 3MF mesh, found a ZIP archive; unpack it, and "
            "name the mesh that is in it."
        ),
    ),
    "bytes without a meaning": (
        "a.glb",
        bytes(range(1, 200)),
        (
            "expected a GLB, found other data (it begins with bytes 01 02 03 04 05 06 07 08); "
            "ask the sculptor to export and send it again."
        ),
    ),
    "a GLB cut off": (
        "a.glb",
        glb_with()[:-40],
        (
            f"expected {GLB_BYTES:,} bytes, as its header says, found {GLB_BYTES - 40:,}; it was "
            "probably cut off while it was copied or sent, so fetch it again."
        ),
    ),
    "an old GLB": (
        "a.glb",
        made.glb_of({"asset": {}}, version=1),
        "expected glTF version 2, found version 1; export it anew as glTF 2.0.",
    ),
    "a GLB with its geometry elsewhere": (
        "a.glb",
        glb_with(buffers=[{"byteLength": 99, "uri": "head.bin"}]),
        (
            "expected a GLB that holds its own geometry, found one whose geometry lies in another "
            "file; export it as one GLB file."
        ),
    ),
    "a compressed GLB": (
        "a.glb",
        glb_with(extensionsRequired=["KHR_draco_mesh_compression"]),
        (
            "expected plain geometry, found geometry that needs “KHR_draco_mesh_compression”; "
            "export it without compression."
        ),
    ),
    "a GLB that holds itself": (
        "a.glb",
        glb_with(nodes=[{"mesh": 0, "children": [1]}, {"children": [2]}, {"children": [1]}]),
        (
            "expected parts that each stand once, found a part inside itself; the file is "
            "damaged; ask the sculptor to export and send it again."
        ),
    ),
    "a GLB without a surface": (
        "a.glb",
        glb_with(meshes=[]),
        (
            "expected at least one triangle, found none in the scene; ask for the surface to be "
            "exported."
        ),
    ),
    "a glTF text": (
        "a.gltf",
        b'{"asset": {"version": "2.0"}, "buffers": [{"uri": "head.bin"}]}',
        (
            "expected one GLB file, found a glTF text, whose geometry lies in other files; "
            "export it as GLB, the binary form."
        ),
    ),
    "a 3MF that is none": (
        "a.3mf",
        plain_zip(a_txt=b"hello"),
        (
            "expected a 3MF, found a ZIP archive without a model; unpack it, and look for a mesh "
            "in it."
        ),
    ),
    "a 3MF whose model is none": (
        "a.3mf",
        made.threemf(model="<hello/>"),
        (
            "expected a 3MF that holds together, found one that does not; the file is damaged; "
            "ask the sculptor to export and send it again."
        ),
    ),
    "a 3MF without a build": (
        "a.3mf",
        made.threemf(box(), build=""),
        (
            "expected at least one triangle, found a 3MF that builds none of its objects; ask for "
            "the surface to be exported."
        ),
    ),
    "a 3MF with a broken archive": (
        "a.3mf",
        made.threemf(box())[:-30],
        (
            "expected a 3MF archive that unpacks, found one that does not; the file is damaged; "
            "ask the sculptor to export and send it again."
        ),
    ),
    "another program's file": (
        "a.xyz",
        b"SOME-OTHER-FORMAT 3\n",
        (
            "expected an STL, OBJ, PLY, GLB or 3MF mesh, found other text (it begins "
            "“SOME-OTHER-FORMAT 3”); open it in a text editor: a message or a web page may have "
            "been saved under its name."
        ),
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_it_is_refused_in_a_sentence(case):
    name, content, sentence = CASES[case]
    with pytest.raises(MeshError) as caught:
        read(content, name)
    said = str(caught.value)
    assert said.startswith("the mesh: expected ")
    assert said.endswith(sentence)
    assert said.count(". ") == 0
    assert str(caught.value.of("meshes/head.stl")).startswith("meshes/head.stl: expected ")


@pytest.fixture
def small(monkeypatch):
    """Limits that a test can reach."""
    monkeypatch.setattr(raw, "MOST_TRIANGLES", 500)
    monkeypatch.setattr(threemf_archive, "MOST_UNPACKED", 10**6)


@pytest.mark.usefixtures("small")
@pytest.mark.parametrize("content", [STL, TEXT, made.obj(made.TORUS), PLY, glb_with(),
                                     made.threemf(made.TORUS)],
                         ids=["stl", "text", "obj", "ply", "glb", "3mf"])  # fmt: skip
def test_more_triangles_than_any_head_has_are_refused(content):
    with pytest.raises(MeshError, match="at most 500 triangles, found"):
        read(content, "a")


@pytest.mark.usefixtures("small")
def test_a_3mf_that_unpacks_without_end_is_refused():
    """A gigabyte of blanks in a megabyte, and one whose list says that it is small."""
    honest = made.threemf(box(), extra={"3D/more.model": b" " * 2_000_000})
    for content in (honest, lying_zip(50_000_000)):
        with pytest.raises(
            MeshError, match=r"at most 0\.0 GB unpacked, found more, out of 0\.. MB"
        ):
            read(content, "a.3mf")


def test_a_3mf_of_a_gigabyte_of_blanks_takes_little_memory():
    import tracemalloc

    content = lying_zip(threemf_archive.MOST_UNPACKED + 2**20)
    tracemalloc.start()
    with pytest.raises(MeshError, match="open it nowhere"):
        read(content, "a.3mf")
    assert tracemalloc.get_traced_memory()[1] < 50_000_000
    tracemalloc.stop()


def test_entities_that_grow_are_not_unfolded():
    """Each entity names the one before ten times: ten to the ninth letters."""
    lines = ['<!ENTITY a0 "aaaaaaaaaa">']
    lines += [f'<!ENTITY a{i} "{f"&a{i - 1};" * 10}">' for i in range(1, 10)]
    model = (
        made.model_3mf(box())
        .replace("?><model", f"?><!DOCTYPE model [{''.join(lines)}]><model")
        .replace("<resources>", "<metadata name='Title'>&a9;</metadata><resources>")
    )
    try:
        assert len(read(made.threemf(model=model), "a.3mf").faces) == 12
    except MeshError as error:
        assert "a 3MF that holds together" in str(error)  # noqa: PT017  either will do


def test_objects_that_double_are_counted_before_they_are_built():
    """Forty objects, each of the one before twice: a million million in three kilobytes."""
    more = "".join(
        f'<object id="{i}" type="model"><components>'
        f'<component objectid="{i - 1}"/><component objectid="{i - 1}"/></components></object>'
        for i in range(2, 42)
    )
    with pytest.raises(MeshError, match="at most 100,000 parts placed by way of others"):
        read(made.threemf(box(), more=more, build='<item objectid="41"/>'), "a.3mf")


def test_an_object_that_holds_itself_is_refused():
    more = (
        '<object id="2" type="model"><components><component objectid="3"/></components></object>'
        '<object id="3" type="model"><components><component objectid="2"/></components></object>'
    )
    with pytest.raises(MeshError, match="expected at most 100,000 parts placed"):
        read(made.threemf(box(), more=more, build='<item objectid="3"/>'), "a.3mf")


@pytest.mark.usefixtures("small")
def test_a_glb_mesh_that_stands_in_a_thousand_places_is_counted_before_it_is_built():
    nodes = [{"mesh": 0} for _ in range(1000)]
    with pytest.raises(MeshError, match="at most 500 triangles"):
        read(glb_with(nodes=nodes, scenes=[{"nodes": list(range(1000))}]), "a.glb")


def test_a_line_without_an_end_is_refused():
    with pytest.raises(MeshError, match="lines of text, found line 2 without an end"):
        read(b"v 0 0 0\n" + b"v" + b" 1" * 6_000_000, "a.obj")


def test_numbers_that_do_not_fit_are_refused():
    for face in (b"99999999999999999999", b"-99999999999999999999", b"4294967297"):
        with pytest.raises(MeshError, match="expected"):
            read(b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 " + face + b"\n", "a.obj")
