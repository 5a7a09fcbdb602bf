"""The same surface comes out of every format, whatever writes it."""

import io

import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from numerics.mesh.shapes import box, mesh, torus
from sixwright.numerics.mesh.closure import closure
from sixwright.storage.meshes import text_rows
from sixwright.storage.meshes.formats import read
from sixwright.storage.meshes.load import welded
from storage.meshes import made

TORUS = made.TORUS
SINGLE = 2e-7


def triangles(raw):
    return raw.places[raw.faces]


WAYS = {
    "binary.stl": made.stl(TORUS),
    "solid-binary.stl": made.stl(TORUS, header=b"solid head exported in binary"),
    "text.stl": made.stl_text(TORUS),
    "capitals.stl": made.stl_text(TORUS).upper(),
    "windows.stl": made.stl_text(TORUS).replace(b"\n", b"\r\n"),
    "old-mac.stl": made.stl_text(TORUS).replace(b"\n", b"\r"),
    "plain.obj": made.obj(TORUS),
    "textured.obj": made.obj(TORUS, form="{0}/{0}"),
    "with-normals.obj": made.obj(TORUS, form="{0}//{0}"),
    "all.obj": made.obj(TORUS, form="{0}/{0}/{0}"),
    "windows.obj": made.obj(TORUS).replace(b"\n", b"\r\n"),
    "continued.obj": made.obj(TORUS).replace(b"f ", b"f \\\n"),
    "text.ply": made.ply(TORUS, encoding="ascii"),
    "text-extra.ply": made.ply(TORUS, encoding="ascii", extra=True),
    "little.ply": made.ply(TORUS),
    "big.ply": made.ply(TORUS, encoding="binary_big_endian"),
    "double.ply": made.ply(TORUS, kind="double"),
    "extra.ply": made.ply(TORUS, extra=True),
    "extra-big.ply": made.ply(TORUS, encoding="binary_big_endian", extra=True),
    "int-counts.ply": made.ply(TORUS, counted="int"),
    "library.glb": made.glb(TORUS),
    "by-hand.glb": made.glb_of(*made.glb_header(TORUS)),
    "by-hand.3mf": made.threemf(TORUS),
}


@pytest.mark.parametrize("name", WAYS)
def test_each_way_gives_the_same_triangles(name):
    raw = read(WAYS[name], name)
    assert raw.format.lower() == name.rsplit(".", 1)[1]
    assert triangles(raw) == pytest.approx(TORUS.vertices[TORUS.faces], abs=SINGLE)
    made_one, _, facts = welded(raw)
    assert closure(made_one).closed
    assert len(made_one.vertices) == len(TORUS.vertices)
    assert (facts.triangles, facts.promised, facts.left_over) == (len(TORUS.faces), None, 0)
    assert (facts.collapsed, facts.unused) == (0, 0)


@pytest.mark.parametrize("kind", ["stl", "stl_ascii", "obj", "ply", "glb", "3mf"])
def test_what_a_general_library_writes_is_read(kind):
    theirs = trimesh.Trimesh(TORUS.vertices, TORUS.faces, process=False).export(file_type=kind)
    content = theirs.encode() if isinstance(theirs, str) else theirs
    raw = read(content, f"head.{kind.split('_')[0]}")
    assert np.sort(triangles(raw), axis=None) == pytest.approx(
        np.sort(TORUS.vertices[TORUS.faces], axis=None), abs=1e-6
    )


@pytest.mark.parametrize("name", ["binary.stl", "plain.obj", "little.ply"])
def test_a_general_library_reads_the_same(name):
    theirs = trimesh.load(io.BytesIO(WAYS[name]), file_type=name[-3:], process=False)
    assert triangles(read(WAYS[name], name)) == pytest.approx(theirs.triangles, abs=SINGLE)


def test_binary_numbers_come_to_the_last_bit():
    exact = TORUS.vertices[TORUS.faces]
    for name in ("binary.stl", "text.stl", "plain.obj", "text.ply", "little.ply", "big.ply"):
        assert np.array_equal(triangles(read(WAYS[name], name)), exact), name


@pytest.mark.parametrize("name", ["head.obj", "head.ply", "big.ply", "counted.ply", "text.ply"])
def test_polygons_are_cut_from_their_first_corner(name):
    made_box = box()
    quads = [[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], [1, 5, 7, 3]]
    mixed = [*quads[:5], [1, 5, 7], [1, 7, 3]]
    content = {
        "head.obj": made.obj(made_box, polygons=mixed),
        "head.ply": made.ply(made_box, polygons=mixed),
        "big.ply": made.ply(made_box, polygons=mixed, encoding="binary_big_endian", extra=True),
        "counted.ply": made.ply(made_box, polygons=mixed, counted="ushort"),
        "text.ply": made.ply(made_box, polygons=mixed, encoding="ascii", extra=True),
    }[name]
    surface, _, _ = welded(read(content, name))
    assert len(surface.faces) == 12
    assert closure(surface).closed
    assert np.array_equal(surface.faces, made_box.faces)


def test_a_pentagon_is_three_triangles():
    flat = mesh(np.array([[0, 0, 0], [2, 0, 0], [3, 1, 0], [1, 2, 0], [-1, 1, 0]]), [])
    raw = read(made.obj(flat, polygons=[[0, 1, 2, 3, 4]]), "a.obj")
    assert raw.faces.tolist() == [[0, 1, 2], [0, 2, 3], [0, 3, 4]]


def test_faces_that_count_backwards():
    """-1 is the vertex last read before the face, wherever the face stands."""
    text = (
        b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf -3 -2 -1\nv 5 0 0\nv 6 0 0\nv 5 1 0\nf -3 -2 -1\nf 1 2 -1\n"
    )
    assert read(text, "a.obj").faces.tolist() == [[0, 1, 2], [3, 4, 5], [0, 1, 5]]


def test_colours_and_weights_after_the_places_are_passed_over():
    text = (
        b"v 0 0 0 1 1 1\nv 1 0 0 .5 .5 .5\nv 0 1 0\nvn 0 0 1\nvt 0 0\nusemtl skin\ns 1\nf 1 2 3\n"
    )
    assert read(text, "a.obj").places.tolist() == [[0, 0, 0], [1, 0, 0], [0, 1, 0]]


def test_points_and_lines_among_polygons_go():
    text = b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1\nf 1 2\nf 1 2 3\nl 1 2\np 1\n"
    assert read(text, "a.obj").faces.tolist() == [[0, 1, 2]]


@pytest.mark.parametrize("size", [64, 100, 1000])
def test_a_text_is_read_alike_however_it_is_cut(size, monkeypatch):
    monkeypatch.setattr(text_rows, "CHUNK_BYTES", size)
    for name in ("text.stl", "all.obj", "text.ply", "continued.obj", "windows.obj"):
        assert triangles(read(WAYS[name], name)) == pytest.approx(
            TORUS.vertices[TORUS.faces], abs=SINGLE
        )


@given(
    st.lists(
        st.lists(st.floats(-1e9, 1e9, allow_nan=False), min_size=3, max_size=5),
        min_size=3,
        max_size=9,
    ),
    st.sampled_from([" ", "  ", "\t"]),
    st.sampled_from(["\n", "\r\n", "\n\n", "\n# told\n"]),
)
def test_numbers_in_text_come_to_the_last_bit(rows, gap, end):
    text = end.join([*("v" + gap + gap.join(map(repr, row)) for row in rows), "f 1 2 3", ""])
    assert read(text.encode(), "a.obj").places.tolist() == [row[:3] for row in rows]


def test_a_scene_puts_each_part_where_it_belongs():
    """A node moved by two along x, a child of one turned by a quarter about z."""
    header, body = made.glb_header(box())
    half = 2**-0.5
    header["nodes"] = [
        {"mesh": 0},
        {"translation": [2, 0, 0], "rotation": [0, 0, half, half], "children": [2]},
        {"mesh": 0, "translation": [3, 0, 0]},
    ]
    header["scenes"] = [{"nodes": [0, 1]}]
    raw = read(made.glb_of(header, body), "a.glb")
    assert len(raw.faces) == 24
    assert raw.places.max(axis=0) == pytest.approx([2.5, 3.5, 0.5], abs=1e-6)


def test_a_build_puts_each_part_where_it_belongs():
    """An object placed twice, once by way of another that has it moved."""
    more = ('<object id="2" type="model"><components><component objectid="1" '
            'transform="1 0 0 0 1 0 0 0 1 0 5 0"/></components></object>')  # fmt: skip
    build = '<item objectid="1"/><item objectid="2" transform="1 0 0 0 1 0 0 0 1 2 0 0"/>'
    raw = read(made.threemf(box(), more=more, build=build), "a.3mf")
    assert len(raw.faces) == 24
    assert raw.places.max(axis=0) == pytest.approx([2.5, 5.5, 0.5])
    assert raw.places.min(axis=0) == pytest.approx([-0.5, -0.5, -0.5])


@pytest.mark.parametrize(
    ("name", "unit"),
    [("millimeter", "mm"), ("centimeter", "cm"), ("inch", "in"), ("foot", "ft"), ("meter", "m"),
     ("micron", "um")],
)  # fmt: skip
def test_a_3mf_states_its_unit(name, unit):
    assert read(made.threemf(box(), unit=name), "a.3mf").unit == unit


def test_a_glb_is_in_metres_and_stands():
    raw = read(WAYS["library.glb"], "a.glb")
    assert (raw.unit, raw.up, raw.front) == ("m", "+y", "+z")


@pytest.mark.parametrize("name", ["binary.stl", "text.stl", "little.ply", "library.glb",
                                  "by-hand.3mf"])  # fmt: skip
@pytest.mark.parametrize("ending", [".stl", ".obj", ".ply", ".glb", ".3mf", ".bin", ""])
def test_a_mesh_under_another_name_is_read_as_what_it_is(name, ending):
    assert read(WAYS[name], f"head{ending}").format.lower() == name.rsplit(".", 1)[1]


def test_a_count_that_was_never_written_is_passed_over():
    raw = read(made.stl(TORUS, count=0), "a.stl")
    assert len(raw.faces) == len(TORUS.faces)
    assert raw.promised == 0


def test_what_follows_the_last_triangle_is_told():
    raw = read(made.stl(TORUS, tail=b"made with care"), "a.stl")
    assert (len(raw.faces), raw.left_over) == (len(TORUS.faces), 14)


def test_large_polygons_and_long_lines():
    ring = torus(3, 1, 1, 20_000)
    raw = read(made.obj(ring, polygons=[list(range(20_000))]), "a.obj")
    assert len(raw.faces) == 19_998
