"""Which format a file is, told by its content first and by its name where that says nothing."""

from collections.abc import Callable
from pathlib import PurePosixPath

from sixwright.kernel.errors import MeshError
from sixwright.storage.meshes.raw import ASK_AGAIN, MOST_BYTES, MOST_SIZE, Raw, checked, other_text

# What other files begin with, by their formats' own descriptions.
_OTHERS = (
    (b"\x89PNG\r\n\x1a\n", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"BM", "a BMP picture"),
    (b"II*\0", "a TIFF picture"),
    (b"MM\0*", "a TIFF picture"),
    (b"8BPS", "a layered picture"),
    (b"%PDF", "a PDF"),
    (b"Rar!", "a RAR archive"),
    (b"7z\xbc\xaf\x27\x1c", "a 7z archive"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"MZ", "a program"),
    (b"\x7fELF", "a program"),
    (b"SQLite format 3", "a database"),
    (b"\xd0\xcf\x11\xe0", "an office document"),
    (b"OggS", "a sound file"),
    (b"ID3", "a sound file"),
)
_ENDINGS = {".stl": "STL", ".obj": "OBJ", ".ply": "PLY", ".glb": "GLB", ".3mf": "3MF"}
KNOWN = "an STL, OBJ, PLY, GLB or 3MF mesh"


def read(content: bytes, name: str) -> Raw:
    """The triangles of a mesh file.

    Parameters
    ----------
    content
        All of it.
    name
        Its name, whose ending counts where the content does not tell.

    Raises
    ------
    MeshError
        If it is no mesh that can be used.
    """
    if not content:
        raise MeshError("a mesh", "an empty file", "it was lost in copying; " + ASK_AGAIN)
    if len(content) > MOST_BYTES:
        raise too_large(len(content))
    stated = _ENDINGS.get(PurePosixPath(name).suffix.lower(), "")
    return checked(_reader(_by_content(content, stated))(content))


def too_large(size: int) -> MeshError:
    """The refusal of a file of more than `MOST_BYTES`."""
    return MeshError(
        f"at most {MOST_SIZE}",
        f"{size / 1e9:.1f} GB",
        "ask for a binary export, or a decimated one; five million triangles are 0.25 GB",
    )


def _by_content(content: bytes, stated: str) -> str:
    text = content[:2048].lstrip(b"\xef\xbb\xbf \t\r\n")
    if content[:4] == b"PK\3\4":
        return _zipped(content, stated)
    signed = {
        "GLB": content[:4] == b"glTF",
        "PLY": text[:4] in {b"ply\n", b"ply\r"},
        "STL": _is_stl_by_length(content),
    }
    if found := [format_ for format_, is_so in signed.items() if is_so]:
        return found[0]
    _refuse_others(content[:16])
    return _by_text(content, text, stated)


def _by_text(content: bytes, text: bytes, stated: str) -> str:
    """Of what has no signature: texts, and what says nothing but its name."""
    if stated == "STL" or (text[:5].lower() == b"solid" and b"facet" in text.lower()):
        return "STL"
    looks = any(line[:2] in {b"v ", b"f "} for line in text.splitlines())
    if b"\0" not in text and (stated == "OBJ" or (not stated and looks)):
        return "OBJ"
    if text[:1] == b"{" and b'"asset"' in content[:4096]:
        raise MeshError(
            "one GLB file",
            "a glTF text, whose geometry lies in other files",
            "export it as GLB, the binary form",
        )
    raise _unknown(content, stated)


def _is_stl_by_length(content: bytes) -> bool:
    return len(content) >= 84 and len(content) == 84 + 50 * int.from_bytes(content[80:84], "little")


def _zipped(content: bytes, stated: str) -> str:
    if b"3D/" in content or stated == "3MF":
        return "3MF"
    kind = "an office document" if b"[Content_Types].xml" in content else "a ZIP archive"
    raise MeshError(KNOWN, kind, "unpack it, and name the mesh that is in it")


def _refuse_others(begin: bytes) -> None:
    kinds = [kind for signature, kind in _OTHERS if begin.startswith(signature)]
    if begin[:4] == b"RIFF":
        kinds = ["a WebP picture" if begin[8:12] == b"WEBP" else "a sound or film"]
    if begin[4:8] == b"ftyp":
        kinds = ["a film or a phone's picture"]
    if kinds:
        raise MeshError(
            KNOWN, kinds[0], "it was saved under a mesh's name; look for the mesh itself"
        )


def _unknown(content: bytes, stated: str) -> MeshError:
    expected = f"a {stated}" if stated in {"PLY", "GLB", "3MF"} else KNOWN
    begin = content[:40]
    if all(9 <= b < 14 or 32 <= b < 127 for b in begin):
        return other_text(expected, content)
    octets = " ".join(f"{b:02x}" for b in begin[:8])
    return MeshError(expected, f"other data (it begins with bytes {octets})", ASK_AGAIN)


def _reader(format_: str) -> Callable[[bytes], Raw]:
    """Imported where it is used: reading an STL must not pay for the others."""
    if format_ == "STL":
        from sixwright.storage.meshes.stl import read_stl as reader
    elif format_ == "OBJ":
        from sixwright.storage.meshes.obj import read_obj as reader
    elif format_ == "PLY":
        from sixwright.storage.meshes.ply import read_ply as reader
    elif format_ == "GLB":
        from sixwright.storage.meshes.glb import read_glb as reader
    else:
        from sixwright.storage.meshes.threemf import read_3mf as reader
    return reader
