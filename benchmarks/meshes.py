"""How long meshes of five million triangles take, beside general-purpose libraries in one run.

    make bench                       or: python benchmarks/meshes.py [TRIANGLES]

A torus with bumps, its triangles in the order of a grid and thrown together: what welding costs
hangs on the order. Every line is a fresh process, so that the memory is that line's own; seconds
are of the work alone, imports and the making of the mesh apart. Best of RUNS. Not a test.
"""

import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

RUNS = 2
SCRATCH = "sixwright-meshes"
TRIANGLES = 5_000_000
RSS_UNIT = 1024 if sys.platform != "darwin" else 1  # what the system counts in, bytes
RAYS = 1_000_000


def torus(triangles: int) -> tuple[np.ndarray, np.ndarray]:
    """Vertices (float32, some 50 mm across) and faces of a closed surface with one handle."""
    across = int(np.sqrt(triangles / 2))
    along = triangles // 2 // across
    u, v = np.meshgrid(
        np.arange(across) * 2 * np.pi / across, np.arange(along) * 2 * np.pi / along, indexing="ij"
    )
    r = 6 * (1 + 0.1 * np.sin(17 * u) * np.sin(11 * v))
    ring = 18 + r * np.cos(v)
    places = np.stack([ring * np.cos(u), ring * np.sin(u), r * np.sin(v)], axis=-1).reshape(-1, 3)
    i, j = (a.ravel() for a in np.meshgrid(np.arange(across), np.arange(along), indexing="ij"))
    i1, j1 = (i + 1) % across, (j + 1) % along
    a, b, c, d = i * along + j, i1 * along + j, i1 * along + j1, i * along + j1
    faces = np.stack([np.stack([a, b, c], 1), np.stack([a, c, d], 1)], axis=1).reshape(-1, 3)
    return places.astype(np.float32), faces.astype(np.int32)


def write_stl(path: Path, vertices: np.ndarray, faces: np.ndarray) -> None:
    records = np.zeros(len(faces), [("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")])
    records["c"] = vertices[faces]
    with path.open("wb") as file:
        file.write(b"\0" * 80 + len(faces).to_bytes(4, "little"))
        records.tofile(file)


def write_files(folder: Path, triangles: int) -> None:
    """Every file that a line of the table reads."""
    vertices, faces = torus(triangles)
    np.savez(folder / "torus.npz", vertices=vertices, faces=faces)
    write_stl(folder / "grid.stl", vertices, faces)
    order = np.random.Generator(np.random.Philox(5)).permutation(len(faces))
    write_stl(folder / "thrown.stl", vertices, faces[order])
    head = (
        f"ply\nformat binary_little_endian 1.0\nelement vertex {len(vertices)}\n"
        "property float x\nproperty float y\nproperty float z\n"
        f"element face {len(faces)}\nproperty list uchar int vertex_indices\nend_header\n"
    )
    rows = np.zeros(len(faces), [("n", "u1"), ("i", "<i4", 3)])
    rows["n"], rows["i"] = 3, faces
    with (folder / "grid.ply").open("wb") as file:
        file.write(head.encode())
        vertices.tofile(file)
        rows.tofile(file)
    with (folder / "grid.obj").open("w", encoding="ascii") as file:
        np.savetxt(file, vertices, fmt="v %.6f %.6f %.6f")
        np.savetxt(file, faces + 1, fmt="f %d %d %d")


Ready = Callable[[], object]
Prepare = Callable[[Path], Ready]  # makes all that the clock is not to see


def ours(name: str) -> Prepare:
    """The file's bytes, read and welded."""

    def prepare(folder: Path) -> Ready:
        from sixwright.storage.files.within import read_within
        from sixwright.storage.meshes import obj, ply, stl  # noqa: F401  imported on use
        from sixwright.storage.meshes.formats import read
        from sixwright.storage.meshes.load import welded
        from sixwright.storage.meshes.raw import MOST_BYTES

        return lambda: welded(read(read_within(folder, name, most=MOST_BYTES), name))

    return prepare


def with_trimesh(name: str) -> Prepare:
    def prepare(folder: Path) -> Ready:
        import trimesh

        return lambda: trimesh.load(folder / name, process=True)  # merges equal vertices

    return prepare


def with_meshio(folder: Path) -> Ready:
    import meshio

    return lambda: meshio.read(folder / "grid.stl")  # merges equal vertices


def with_numpy_stl(folder: Path) -> Ready:
    from stl import Mesh

    return lambda: Mesh.from_file(str(folder / "grid.stl"), calculate_normals=False)


def loader(*, again: bool) -> Prepare:
    """The whole way, as a page asks for it: once, or a second time in another process."""

    def prepare(folder: Path) -> Ready:
        import os

        import pydantic  # noqa: F401  the memo's
        import scipy.sparse.csgraph
        import scipy.spatial  # noqa: F401

        from sixwright.line.meshes import MeshRef
        from sixwright.storage.cache import memo
        from sixwright.storage.meshes import stl  # noqa: F401  imported on use
        from sixwright.storage.meshes.load import MeshLoader

        name = "kept" if again else f"fresh-{time.monotonic_ns()}"
        os.environ["SIXWRIGHT_CACHE"] = str(folder / name)
        os.utime(folder / "grid.stl", (1e9, 1e9))  # not written just now
        load = MeshLoader(folder, memo)
        if again and not (folder / name).exists():
            load(MeshRef("grid.stl"))
        return lambda: load(MeshRef("grid.stl"))

    return prepare


def on_mesh(ask: Callable[[Any], object]) -> Prepare:
    """Something asked of the torus."""

    def prepare(folder: Path) -> Ready:
        import scipy.sparse.csgraph
        import scipy.spatial  # noqa: F401

        from sixwright.numerics.mesh.model import Mesh

        held = np.load(folder / "torus.npz")
        mesh = Mesh(held["vertices"], held["faces"])
        return lambda: ask(mesh)

    return prepare


def on_trimesh(ask: Callable[[Any], object]) -> Prepare:
    """The same of trimesh, which is given its own types."""

    def prepare(folder: Path) -> Ready:
        import scipy.sparse.csgraph
        import scipy.spatial  # noqa: F401
        import trimesh

        held = np.load(folder / "torus.npz")
        vertices, faces = held["vertices"].astype(np.float64), held["faces"].astype(np.int64)
        mesh = trimesh.Trimesh(vertices, faces, process=False)
        return lambda: ask(mesh)

    return prepare


def closed(mesh: Any) -> object:
    from sixwright.numerics.mesh.closure import closure

    return closure(mesh).closed


def pieces(mesh: Any) -> object:
    from sixwright.numerics.mesh.closure import closure
    from sixwright.numerics.mesh.shells import shells

    return len(shells(mesh, closure(mesh)))


def surveyed(mesh: Any) -> object:
    from sixwright.numerics.mesh.survey import survey

    return survey(mesh)


def mass(mesh: Any) -> object:
    from sixwright.numerics.mesh.mass import solid

    return solid(mesh)


def normals(mesh: Any) -> object:
    from sixwright.numerics.mesh.normals import vertex_normals

    return vertex_normals(mesh)


def previewed(mesh: Any) -> object:
    from sixwright.numerics.mesh.preview import preview

    return preview(mesh)


def simplified(mesh: Any) -> object:
    from fast_simplification import simplify

    return simplify(np.array(mesh.vertices, np.float64), np.array(mesh.faces),
                    target_reduction=1 - 150_000 / len(mesh.faces))  # fmt: skip


def cut(mesh: Any) -> object:
    from sixwright.numerics.mesh.sections import section

    return section(mesh, np.array([0, 0, 1.0]), np.array([0, 0.1, 1]))


def tree(mesh: Any) -> object:
    from sixwright.numerics.mesh.rays import RayTree

    return RayTree(mesh)


def embree_alone(mesh: Any) -> object:
    from embreex.mesh_construction import TriangleMesh
    from embreex.rtcore_scene import EmbreeScene

    scene = EmbreeScene(robust=True)
    held = TriangleMesh(scene, mesh.vertices, mesh.faces)
    scene.run(np.zeros((1, 3), np.float32), np.ones((1, 3), np.float32))
    return held


def rays_from(aims: Callable[[], tuple[np.ndarray, np.ndarray]]) -> Prepare:
    """A million rays against a tree that stands."""

    def prepare(folder: Path) -> Ready:
        from sixwright.numerics.mesh.model import Mesh
        from sixwright.numerics.mesh.rays import RayTree

        held = np.load(folder / "torus.npz")
        standing = RayTree(Mesh(held["vertices"], held["faces"]))
        origins, directions = aims()
        return lambda: standing.first_hits(origins, directions)

    return prepare


def of_a_picture() -> tuple[np.ndarray, np.ndarray]:
    """One for each of a thousand by a thousand pixels."""
    side = np.linspace(-26, 26, int(np.sqrt(RAYS)))
    x, y = np.meshgrid(side, side)
    return np.array([0, 0, 150.0]), np.stack([x, y, np.full_like(x, -150)], axis=-1).reshape(-1, 3)


def thrown() -> tuple[np.ndarray, np.ndarray]:
    """From everywhere around to everywhere within."""
    rng = np.random.Generator(np.random.Philox(6))
    outward = rng.normal(size=(RAYS, 3))
    outward *= 60 / np.linalg.norm(outward, axis=1)[:, None]
    return outward, rng.normal(0, 8, (RAYS, 3)) - outward


def picture(folder: Path) -> Ready:
    """One view of 620 by 700 pixels, shaded, of a mesh that is ready."""
    from sixwright.numerics.mesh.model import Mesh
    from sixwright.numerics.mesh.views import model_of, view
    from sixwright.reports.raster.shots import PANEL, looking, window_of

    held = np.load(folder / "torus.npz")
    model = model_of(Mesh(held["vertices"], held["faces"]))
    lens = looking(model, 25.0, 5.0, 330.0, 3000.0)
    return lambda: view(model, lens, window_of(model, lens, PANEL))


def file_to_picture(folder: Path) -> Ready:
    """From a file that was never read to its first view."""
    from sixwright.numerics.mesh.views import model_of, view
    from sixwright.reports.raster.shots import PANEL, looking, window_of

    load = loader(again=False)(folder)

    def once() -> object:
        delivery: Any = load()
        model = model_of(delivery.mesh)
        lens = looking(model, 25.0, 5.0, 330.0, 3000.0)
        return view(model, lens, window_of(model, lens, PANEL))

    return once


def nearest_to(count: int) -> Callable[[object], object]:
    def ask(mesh: Any) -> object:
        from sixwright.numerics.mesh.nearest import nearest

        rng = np.random.Generator(np.random.Philox(7))
        step = max(len(mesh.vertices) // count, 1)
        chosen = np.arange(count) * step % len(mesh.vertices)
        return nearest(mesh, mesh.vertices[chosen] + rng.normal(0, 0.3, (count, 3)))

    return ask


# What is asked: the work, and the limits in seconds and gigabytes.
LINES: dict[str, tuple[Prepare, str, str]] = {
    "binary STL, in order: read and welded": (ours("grid.stl"), "1.5", "1.2"),
    "binary STL: trimesh": (with_trimesh("grid.stl"), "", ""),
    "binary STL: meshio": (with_meshio, "", ""),
    "binary STL, not welded: numpy-stl": (with_numpy_stl, "", ""),
    "binary STL, thrown together: read and welded": (ours("thrown.stl"), "1.5", "1.2"),
    "binary PLY: read and welded": (ours("grid.ply"), "", ""),
    "binary PLY: trimesh": (with_trimesh("grid.ply"), "", ""),
    "OBJ: read and welded": (ours("grid.obj"), "", ""),
    "OBJ: trimesh": (with_trimesh("grid.obj"), "", ""),
    "loaded as a page asks, first time": (loader(again=False), "", ""),
    "loaded, second time": (loader(again=True), "1", ""),
    "closed, and where open": (on_mesh(closed), "2.5", ""),
    "closed: trimesh": (on_trimesh(lambda m: (m.is_watertight, m.is_winding_consistent)), "", ""),
    "closed, and its pieces": (on_mesh(pieces), "", ""),
    "pieces: trimesh": (on_trimesh(lambda m: m.body_count), "", ""),
    "all that is counted and kept (survey)": (on_mesh(surveyed), "", ""),
    "volume, centre, inertia": (on_mesh(mass), "1", ""),
    "volume, centre, inertia: trimesh": (on_trimesh(lambda m: m.mass_properties), "", ""),
    "vertex normals": (on_mesh(normals), "", ""),
    "vertex normals: trimesh": (on_trimesh(lambda m: m.vertex_normals), "", ""),
    "preview of 150,000 triangles": (on_mesh(previewed), "1.5", ""),
    "preview: fast-simplification alone": (on_mesh(simplified), "", ""),
    "a plane section": (on_mesh(cut), "", ""),
    "a plane section: trimesh": (
        on_trimesh(lambda m: m.section([0, 0.1, 1], [0, 0, 1.0])), "", ""),
    "ray tree": (on_mesh(tree), "3", ""),
    "ray tree: embreex alone": (on_mesh(embree_alone), "", ""),
    "a million rays of a picture": (rays_from(of_a_picture), "0.5", ""),
    "a million rays thrown together": (rays_from(thrown), "0.5", ""),
    "a shaded view of 620 by 700 pixels": (picture, "1", ""),
    "from a file never read to its first view": (file_to_picture, "10", ""),
    "nearest place to 25 places": (on_mesh(nearest_to(25)), "", ""),
    "nearest place to 200,000 places": (on_mesh(nearest_to(200_000)), "", ""),
}  # fmt: skip


def one_line(name: str, folder: Path) -> None:
    """Do one line's work in this process and print what it took."""
    call = LINES[name][0](folder)
    begun, busy = time.perf_counter(), time.process_time()
    call()
    taken = time.perf_counter() - begun, time.process_time() - busy
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * RSS_UNIT / 1e9
    print(json.dumps([*taken, most]))


def main() -> None:
    """Print the table."""
    if len(sys.argv) == 4:
        one_line(sys.argv[2], Path(sys.argv[3]))
        return
    triangles = int(sys.argv[1]) if len(sys.argv) > 1 else TRIANGLES
    with tempfile.TemporaryDirectory(prefix=SCRATCH) as scratch:
        write_files(Path(scratch), triangles)
        print("| what | seconds | processor | peak, GB | limit, s | limit, GB |")
        print("|---|---|---|---|---|---|")
        for name, (_, seconds, memory) in LINES.items():
            runs = [run(name, Path(scratch)) for _ in range(RUNS)]
            runs = [found for found in runs if found]
            if not runs:
                print(f"| {name} | not installed or failed | | | {seconds} | {memory} |")
                continue
            wall, busy, most = (min(values) for values in zip(*runs, strict=True))
            print(
                f"| {name} | {wall:.2f} | {busy:.2f} | {most:.2f} | {seconds} | {memory} |",
                flush=True,
            )


def run(name: str, folder: Path) -> list[float] | None:
    done = subprocess.run(
        [sys.executable, __file__, "one", name, folder], capture_output=True, text=True, check=False
    )
    return json.loads(done.stdout.splitlines()[-1]) if done.returncode == 0 else None


if __name__ == "__main__":
    main()
