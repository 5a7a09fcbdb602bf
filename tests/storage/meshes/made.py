"""Mesh files written for the tests, by the formats' descriptions and by a general library."""

import io
import json
import struct
import zipfile

import numpy as np
import trimesh

from numerics.mesh.shapes import box, torus

TORUS = torus(3, 1, 24, 18, dtype=np.float32)


def stl(mesh, *, header=b"", count=None, tail=b""):
    """Binary STL: 80 bytes, a count, and 50 bytes a triangle."""
    rows = np.zeros((len(mesh.faces), 50), np.uint8)
    corners = np.ascontiguousarray(mesh.vertices[mesh.faces].astype("<f4")).reshape(-1, 9)
    rows[:, 12:48] = corners.view(np.uint8).reshape(-1, 36)
    count = len(mesh.faces) if count is None else count
    return header.ljust(80, b"\0") + struct.pack("<I", count) + rows.tobytes() + tail


def stl_text(mesh, name="head"):
    lines = [f"solid {name}"]
    for corners in mesh.vertices[mesh.faces].tolist():
        lines += ["  facet normal 0 0 0", "    outer loop"]
        lines += [f"      vertex {x!r} {y!r} {z!r}" for x, y, z in corners]
        lines += ["    endloop", "  endfacet"]
    return "\n".join([*lines, f"endsolid {name}", ""]).encode()


def obj(mesh, *, form="{}", polygons=None):
    lines = ["# made for a test", "o head"]
    lines += [f"v {x!r} {y!r} {z!r}" for x, y, z in mesh.vertices.tolist()]
    for polygon in mesh.faces.tolist() if polygons is None else polygons:
        lines.append("f " + " ".join(form.format(i + 1) for i in polygon))
    return ("\n".join(lines) + "\n").encode()


def ply(mesh, *, encoding="binary_little_endian", kind="float", counted="uchar", polygons=None,
        extra=False, comment=""):  # fmt: skip
    """PLY in an encoding; `extra` adds a colour to each vertex and a flag to each face."""
    polygons = mesh.faces.tolist() if polygons is None else polygons
    lines = ["ply", f"format {encoding} 1.0"]
    lines += [f"comment {comment}"] if comment else []
    lines += [f"element vertex {len(mesh.vertices)}"]
    lines += [f"property {kind} {axis}" for axis in "xyz"]
    lines += ["property uchar red"] if extra else []
    lines += [f"element face {len(polygons)}"]
    lines += ["property int flag"] if extra else []
    lines += [f"property list {counted} int vertex_indices", "end_header", ""]
    head = "\n".join(lines).encode()
    if encoding == "ascii":
        rows = [" ".join(map(repr, v)) + (" 7" if extra else "") for v in mesh.vertices.tolist()]
        rows += [" ".join(map(str, [*([3] if extra else []), len(p), *p])) for p in polygons]
        return head + "\n".join([*rows, ""]).encode()
    order = "<" if "little" in encoding else ">"
    codes = {"float": "f", "double": "d", "uchar": "B", "int": "i", "ushort": "H"}
    body = b"".join(
        struct.pack(order + "3" + codes[kind], *v) + (b"\x07" if extra else b"")
        for v in mesh.vertices.tolist()
    )
    body += b"".join(
        (struct.pack(order + "i", 3) if extra else b"")
        + struct.pack(order + codes[counted], len(p))
        + struct.pack(f"{order}{len(p)}i", *p)
        for p in polygons
    )
    return head + body


def glb(mesh):
    """By the general library."""
    return trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).export(file_type="glb")


def glb_of(header, body=b"", *, version=2, length=None):
    """A GLB with a description of one's own."""
    text = json.dumps(header).encode()
    text += b" " * (-len(text) % 4)
    chunks = struct.pack("<II", len(text), 0x4E4F534A) + text
    if body:
        body += b"\0" * (-len(body) % 4)
        chunks += struct.pack("<II", len(body), 0x004E4942) + body
    length = 12 + len(chunks) if length is None else length
    return b"glTF" + struct.pack("<II", version, length) + chunks


def glb_header(mesh, **changes):
    """Description and body of a plain surface, to be changed."""
    places = mesh.vertices.astype("<f4").tobytes()
    corners = mesh.faces.astype("<u4").tobytes()
    header = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [{"mesh": 0}],
        "meshes": [{"primitives": [{"attributes": {"POSITION": 0}, "indices": 1}]}],
        "accessors": [
            {"bufferView": 0, "componentType": 5126, "count": len(mesh.vertices), "type": "VEC3",
             "min": mesh.vertices.min(axis=0).tolist(), "max": mesh.vertices.max(axis=0).tolist()},
            {"bufferView": 1, "componentType": 5125, "count": mesh.faces.size, "type": "SCALAR"},
        ],
        "bufferViews": [
            {"buffer": 0, "byteOffset": 0, "byteLength": len(places)},
            {"buffer": 0, "byteOffset": len(places), "byteLength": len(corners)},
        ],
        "buffers": [{"byteLength": len(places) + len(corners)}],
    }  # fmt: skip
    return {**header, **changes}, places + corners


TYPES = """<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>"""
RELATIONS = """<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/3D/3dmodel.model" Id="rel0"
 Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>"""
CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"


def model_3mf(mesh, *, unit="millimeter", build='<item objectid="1"/>', more=""):
    """The model part of a 3MF, by the core specification."""
    vertices = "".join(f'<vertex x="{x!r}" y="{y!r}" z="{z!r}"/>'
                       for x, y, z in mesh.vertices.tolist())  # fmt: skip
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in
                        mesh.faces.tolist())  # fmt: skip
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><model unit="{unit}" xml:lang="en-US" '
        f'xmlns="{CORE}"><resources><object id="1" type="model"><mesh><vertices>{vertices}'
        f"</vertices><triangles>{triangles}</triangles></mesh></object>{more}</resources>"
        f"<build>{build}</build></model>"
    )


def threemf(mesh=None, *, model=None, extra=None, **options):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", TYPES)
        archive.writestr("_rels/.rels", RELATIONS)
        archive.writestr("3D/3dmodel.model", model or model_3mf(mesh or box(), **options))
        for name, content in (extra or {}).items():
            archive.writestr(name, content)
    return out.getvalue()
