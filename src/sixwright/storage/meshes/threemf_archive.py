"""A 3MF's archive before a library opens it: how much it unpacks to, and how often parts repeat."""

import io
import zipfile
import zlib
from collections import defaultdict
from collections.abc import Iterator
from xml.parsers import expat

from sixwright.kernel.errors import MeshError
from sixwright.storage.meshes.raw import ASK_AGAIN, MOST_BYTES

MOST_UNPACKED = MOST_BYTES
MOST_MEMBERS = 10_000
# Parts that a build places by way of others. The library walks them all, one by one, before
# anything can be counted: forty objects that each hold the one before twice would take it years.
MOST_PLACED = 100_000
DAMAGED = "the file is damaged; " + ASK_AGAIN
_PIECE = 1 << 20
_WORD = b"component"

Part = tuple[str, str]  # a model of the archive, and an object's id in it


def check_archive(content: bytes) -> None:
    """Unpack everything once and keep nothing: neither size nor sum that an archive states hold.

    Raises
    ------
    MeshError
        If it does not unpack, unpacks to more than `MOST_UNPACKED`, or places parts by way of
        parts more than `MOST_PLACED` times.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(content))
        if len(archive.infolist()) > MOST_MEMBERS:
            raise MeshError(f"at most {MOST_MEMBERS:,} files inside", "more", DAMAGED)
        if not any(each.filename.lower().endswith(".model") for each in archive.infolist()):
            raise MeshError(
                "a 3MF", "a ZIP archive without a model", "unpack it, and look for a mesh in it"
            )
        total = 0
        nested = []
        for member in archive.infolist():
            end, found = b"", False
            for piece in _pieces(content, member):
                total += len(piece)
                if total > MOST_UNPACKED:
                    raise _without_end(len(content))
                found = found or _WORD in end + piece
                end = piece[-len(_WORD) :]
            if found and member.filename.lower().endswith(".model"):
                nested.append(member)
    except (
        zipfile.BadZipFile, zlib.error, EOFError, ValueError, OSError, NotImplementedError,
        RuntimeError,
    ) as error:  # fmt: skip
        raise MeshError("a 3MF archive that unpacks", "one that does not", DAMAGED) from error
    if nested:
        _check_nested(content, nested)


def _without_end(packed: int) -> MeshError:
    return MeshError(
        f"at most {MOST_UNPACKED / 1e9:.1f} GB unpacked",
        f"more, out of {packed / 1e6:,.1f} MB",
        "open it nowhere: such a file is made to fill a computer's memory",
    )


def _pieces(content: bytes, member: zipfile.ZipInfo) -> Iterator[bytes]:
    """A member's unpacked pieces, whatever size it states."""
    # The local header's name and extra fields may differ in length from the list's.
    local = content[member.header_offset : member.header_offset + 30]
    begin = member.header_offset + 30 + int.from_bytes(local[26:28], "little")
    begin += int.from_bytes(local[28:30], "little")
    packed = content[begin : begin + member.compress_size]
    if member.compress_type == zipfile.ZIP_STORED:
        for start in range(0, len(packed), _PIECE):
            yield packed[start : start + _PIECE]
        return
    if member.compress_type != zipfile.ZIP_DEFLATED:
        raise NotImplementedError
    unpacker = zlib.decompressobj(-15)
    while packed and not unpacker.eof:
        yield unpacker.decompress(packed, _PIECE)
        packed = unpacker.unconsumed_tail


def _check_nested(content: bytes, members: list[zipfile.ZipInfo]) -> None:
    """Count how often each object is placed by way of others."""
    held: dict[Part, list[Part]] = defaultdict(list)
    for member in members:
        try:
            _read_components(content, member, held)
        except (expat.ExpatError, LookupError, ValueError) as error:  # LookupError: an encoding
            raise MeshError("a 3MF that holds together", "one that does not", DAMAGED) from error
    placed: dict[Part, int] = {}
    for part in list(held):
        if _placed(part, held, placed) > MOST_PLACED:
            raise MeshError(
                f"at most {MOST_PLACED:,} parts placed by way of others",
                "more",
                "export the surface as one object",
            )


def _read_components(content: bytes, member: zipfile.ZipInfo, held: dict[Part, list[Part]]) -> None:
    own = "/" + member.filename.lstrip("/")
    at = [(own, "")]

    def start(name: str, attributes: dict[str, str]) -> None:
        word = name.rsplit(":", maxsplit=1)[-1]
        if word == "object":
            at[0] = (own, attributes.get("id", ""))
        elif word == "component":
            # The production extension's path names another model of the archive.
            path = next((v for k, v in attributes.items() if k.endswith("path")), own)
            held[at[0]].append((path, attributes.get("objectid", "")))

    def doctype(*_told: object) -> None:
        raise MeshError("a 3MF without definitions of its own", "a DOCTYPE", DAMAGED)

    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parser.StartDoctypeDeclHandler = doctype
    for piece in _pieces(content, member):
        parser.Parse(piece, False)
    parser.Parse(b"", True)


def _placed(first: Part, held: dict[Part, list[Part]], placed: dict[Part, int]) -> int:
    """Parts that an object places, with those of its parts; beyond all where it holds itself."""
    # Without recursion: a chain may be as long as the file.
    stack, open_ = [first], set()
    while stack:
        part = stack[-1]
        waiting = [p for p in held.get(part, ()) if p not in placed]
        if part in placed:
            stack.pop()
        elif waiting and part not in open_:
            open_.add(part)
            stack += waiting
        else:
            stack.pop()
            held_by = held.get(part, ())
            placed[part] = (
                MOST_PLACED + 1
                if waiting
                else min(MOST_PLACED + 1, sum(1 + placed[p] for p in held_by))
            )
    return placed[first]
