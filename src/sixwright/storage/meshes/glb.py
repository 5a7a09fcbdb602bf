"""GLB, the binary form of glTF 2.0, through trimesh: metres, y up, z out of the front."""

import io
import json
from typing import Any

import numpy as np

from sixwright.kernel.errors import MeshError
from sixwright.storage.meshes.raw import ASK_AGAIN, CUT_OFF, Raw, refuse_too_many

MOST_HEADER = 64 * 2**20
MOST_NODES = 100_000
MOST_DEPTH = 64
# Required extensions that change colours only; any other may change the geometry.
_HARMLESS = ("KHR_materials_", "KHR_texture_", "KHR_lights_", "EXT_texture_", "EXT_lights_")
_DAMAGED = "the file is damaged; " + ASK_AGAIN


def read_glb(content: bytes) -> Raw:
    """The surfaces of a GLB's scene, each where the scene puts it.

    Raises
    ------
    MeshError
        If it is cut off, refers to other files, is compressed in a way that is not read, or is
        no GLB but in name.

    Source
    ------
    gltf-2.0 (Khronos Group; ISO/IEC 12113:2022): lengths in metres, +y up, +z front.
    """
    header = _header(content)
    _refuse_what_is_not_read(header)
    refuse_too_many(_triangles(header))
    from trimesh.exchange.load import load_scene

    try:
        mesh = load_scene(
            io.BytesIO(content), file_type="glb", process=False, skip_materials=True
        ).to_mesh()
        places, faces = np.asarray(mesh.vertices, np.float64), np.asarray(mesh.faces, np.int64)
    except Exception as error:  # the library's own, of any kind
        raise MeshError("a GLB that holds together", _of_error(error), _DAMAGED) from error
    if places.ndim != 2 or places.shape[1] != 3 or faces.ndim != 2 or faces.shape[1] != 3:
        raise MeshError("three numbers a vertex and three corners a face", "others", _DAMAGED)
    # An index that is too large for us stays one that no vertex has.
    corners = np.clip(faces, -1, np.iinfo(np.int32).max).astype(np.int32)
    return Raw(places, corners, "GLB", unit="m", up="+y", front="+z")


def _header(content: bytes) -> dict[str, Any]:
    """The JSON of a GLB, after its lengths were looked at."""
    words = np.frombuffer(content[:20].ljust(20, b"\0"), "<u4").tolist()
    _, version, length, size, kind = words
    if version != 2:
        raise MeshError("glTF version 2", f"version {version}", "export it anew as glTF 2.0")
    if len(content) < 20 or length > len(content):
        raise MeshError(f"{length:,} bytes, as its header says", f"{len(content):,}", CUT_OFF)
    if kind != 0x4E4F534A or size > MOST_HEADER or 20 + size > len(content):
        raise MeshError("a GLB's description", "none that can be read", _DAMAGED)
    try:
        header = json.loads(content[20 : 20 + size])
    except (ValueError, RecursionError) as error:
        raise MeshError("a GLB's description", "one that breaks off", _DAMAGED) from error
    if not isinstance(header, dict) or not isinstance(header.get("asset"), dict):
        raise MeshError("a GLB's description", "one of something else", _DAMAGED)
    return header


def _refuse_what_is_not_read(header: dict[str, Any]) -> None:
    for key in ("nodes", "meshes", "accessors", "bufferViews", "buffers", "scenes"):
        if not isinstance(header.get(key, []), list):
            raise MeshError(f"a list of {key}", "something else", _DAMAGED)
    needed = header.get("extensionsRequired", [])
    for name in needed if isinstance(needed, list) else [needed]:
        if not str(name).startswith(_HARMLESS):
            raise MeshError(
                "plain geometry",
                f"geometry that needs “{str(name)[:60]}”",
                "export it without compression",
            )
    if any("uri" in buffer for buffer in _dicts(header, "buffers")):
        raise MeshError(
            "a GLB that holds its own geometry",
            "one whose geometry lies in another file",
            "export it as one GLB file",
        )


def _dicts(header: dict[str, Any], key: str) -> list[dict[str, Any]]:
    found = header.get(key, [])
    if not all(isinstance(item, dict) for item in found):
        raise MeshError(f"descriptions of {key}", "something else", _DAMAGED)
    return list(found)


def _triangles(header: dict[str, Any]) -> int:
    """Triangles that the scene would have, each node's mesh counted where it stands."""
    accessors = _dicts(header, "accessors")
    meshes = [_mesh_triangles(mesh, accessors) for mesh in _dicts(header, "meshes")]
    if not sum(meshes):
        raise MeshError(
            "at least one triangle", "none in the scene", "ask for the surface to be exported"
        )
    nodes = _dicts(header, "nodes")
    if len(nodes) > MOST_NODES:
        raise MeshError(f"at most {MOST_NODES:,} parts", f"{len(nodes):,}", ASK_AGAIN)
    seen = [0] * len(nodes)
    total = 0
    is_child = {c for node in nodes for c in _children(node, len(nodes))}
    stack = [(i, 0) for i in range(len(nodes)) if i not in is_child]
    while stack:
        at, depth = stack.pop()
        seen[at] += 1
        if depth > MOST_DEPTH or seen[at] > 1:
            raise MeshError("parts that each stand once", "a part inside itself", _DAMAGED)
        mesh = nodes[at].get("mesh")
        if isinstance(mesh, int) and 0 <= mesh < len(meshes):
            total += meshes[mesh]
        stack += [(child, depth + 1) for child in _children(nodes[at], len(nodes))]
    return total


def _children(node: dict[str, Any], count: int) -> list[int]:
    children = node.get("children", [])
    if not isinstance(children, list) or not all(
        isinstance(c, int) and 0 <= c < count for c in children
    ):
        raise MeshError("parts that are there", "a part that is not", _DAMAGED)
    return children


def _mesh_triangles(mesh: dict[str, Any], accessors: list[dict[str, Any]]) -> int:
    total = 0
    primitives = mesh.get("primitives", [])
    if not isinstance(primitives, list) or not all(isinstance(p, dict) for p in primitives):
        raise MeshError("surfaces", "something else", _DAMAGED)
    for primitive in primitives:
        if primitive.get("mode", 4) not in {4, 5, 6}:
            continue
        attributes = primitive.get("attributes")
        place = attributes.get("POSITION") if isinstance(attributes, dict) else None
        corners = _counted(primitive.get("indices", place), accessors)
        each = 3 if primitive.get("mode", 4) == 4 else 1
        total += max(corners // each, _counted(place, accessors) // 3)
    return total


def _counted(which: object, accessors: list[dict[str, Any]]) -> int:
    """How many numbers a list has that a surface names."""
    if not isinstance(which, int) or not 0 <= which < len(accessors):
        raise MeshError("numbers for each surface", "a surface without", _DAMAGED)
    count = accessors[which].get("count")
    if not isinstance(count, int) or count < 0:
        raise MeshError("a count for each list of numbers", "none", _DAMAGED)
    return count


def _of_error(error: Exception) -> str:
    text = " ".join(str(error).split())[:80]
    return f"one that does not ({text})" if text else "one that does not"
