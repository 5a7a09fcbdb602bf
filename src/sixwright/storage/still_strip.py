"""A picture file without what a camera wrote of place, time and person; its pixels stay.

What a decoder needs stays: size, colour profile, and which way up the picture is. Nothing is
decoded or encoded again; of a TIFF, whose data are woven into the file, the place alone goes.

Source
------
JPEG: ITU-T T.81, B.1 (markers). EXIF: JEITA CP-3451. PNG: ISO/IEC 15948, 5. WebP: Google, WebP
container specification. TIFF 6.0, section 2. From memory; tested against Pillow's reader.
"""

import struct
from collections.abc import Iterator

_ORIENTATION, _GPS = 0x0112, 0x8825
_SOI, _SOS, _EOI = 0xD8, 0xDA, 0xD9
_KEPT_APPS = frozenset({0xE0, 0xEE})  # JFIF, Adobe's colour transform
_COMMENT = 0xFE
_PNG_DROPPED = frozenset({b"eXIf", b"tEXt", b"zTXt", b"iTXt", b"tIME"})
_WEBP_DROPPED = frozenset({b"EXIF", b"XMP "})
_WEBP_FLAGS = 0x08 | 0x04  # EXIF and XMP


def without_place(content: bytes, form: str, orientation: int) -> bytes:
    """The file without place, time and person.

    Parameters
    ----------
    content
        A whole picture file that could be decoded.
    form
        ``JPEG``, ``PNG``, ``WEBP`` or ``TIFF``.
    orientation
        EXIF's, 1 to 8: kept where it is not 1.

    Raises
    ------
    struct.error, IndexError, ValueError
        If the file is not laid out as its format says.
    """
    match form:
        case "JPEG":
            return b"".join(_jpeg(content, orientation))
        case "PNG":
            return b"".join(_png(content, orientation))
        case "WEBP":
            return _webp(content, orientation)
        case _:
            return _tiff(content)


def exif_of(orientation: int) -> bytes:
    """EXIF data that say which way up the picture is, and nothing else."""
    entry = struct.pack("<HHIHH", _ORIENTATION, 3, 1, orientation, 0)
    return b"II*\0" + struct.pack("<IH", 8, 1) + entry + struct.pack("<I", 0)


def _jpeg(content: bytes, orientation: int) -> Iterator[bytes]:
    """Segments up to the end of the picture: what phones put behind it goes too."""
    yield content[:2]
    if orientation != 1:
        exif = b"Exif\0\0" + exif_of(orientation)
        yield b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif
    at = 2
    while True:
        while content[at + 1] == 0xFF:  # fill bytes
            at += 1
        marker = content[at + 1]
        if marker == _EOI:
            yield b"\xff\xd9"
            return
        end = at + 2 + struct.unpack_from(">H", content, at + 2)[0]
        if _is_kept(marker, content[at + 4 : at + 15]):
            yield content[at:end]
        if marker == _SOS:
            start, end = end, _end_of_scan(content, end)
            yield content[start:end]
        at = end


def _is_kept(marker: int, start: bytes) -> bool:
    """Whether a segment tells how to decode the picture; of the second kind only its colours."""
    if marker == 0xE2:
        return start.startswith(b"ICC_PROFILE")
    return marker in _KEPT_APPS or not (marker == _COMMENT or 0xE0 <= marker <= 0xEF)


def _end_of_scan(content: bytes, at: int) -> int:
    """Where the next marker is that is neither a stuffed byte nor a restart."""
    while True:
        at = content.index(b"\xff", at)
        after = content[at + 1]
        if after == 0x00 or 0xD0 <= after <= 0xD7 or after == 0xFF:
            at += 1 if after == 0xFF else 2
            continue
        return at


def _png(content: bytes, orientation: int) -> Iterator[bytes]:
    from zlib import crc32

    yield content[:8]
    at = 8
    while at < len(content):
        length, kind = struct.unpack_from(">I4s", content, at)
        if kind not in _PNG_DROPPED:
            yield content[at : at + 12 + length]
        if kind == b"IHDR" and orientation != 1:
            body = b"eXIf" + exif_of(orientation)
            yield struct.pack(">I", len(body) - 4) + body + struct.pack(">I", crc32(body))
        if kind == b"IEND":
            return
        at += 12 + length


def _webp(content: bytes, orientation: int) -> bytes:
    chunks = []
    at = 12
    end = min(len(content), 8 + int(struct.unpack_from("<I", content, 4)[0]))
    while at + 8 <= end:
        kind, length = struct.unpack_from("<4sI", content, at)
        size = 8 + length + length % 2
        if kind == b"VP8X":
            flags = content[at + 8] & ~_WEBP_FLAGS | (0x08 if orientation != 1 else 0)
            chunks.append(content[at : at + 8] + bytes([flags]) + content[at + 9 : at + size])
        elif kind not in _WEBP_DROPPED:
            chunks.append(content[at : at + size])
        at += size
    if orientation != 1:
        exif = exif_of(orientation)
        chunks.append(b"EXIF" + struct.pack("<I", len(exif)) + exif + b"\0" * (len(exif) % 2))
    body = b"WEBP" + b"".join(chunks)
    return b"RIFF" + struct.pack("<I", len(body)) + body


def _tiff(content: bytes) -> bytes:
    """The same length: each directory's entry of the place goes, what it led to is zeroed."""
    order = "<" if content[:2] == b"II" else ">"
    made = bytearray(content)
    at = struct.unpack_from(order + "I", content, 4)[0]
    seen: set[int] = set()
    while at and at not in seen:
        seen.add(at)
        count = struct.unpack_from(order + "H", made, at)[0]
        entries = [bytes(made[at + 2 + 12 * i : at + 14 + 12 * i]) for i in range(count)]
        following = bytes(made[at + 2 + 12 * count : at + 6 + 12 * count])
        kept = []
        for entry in entries:
            if struct.unpack_from(order + "H", entry)[0] == _GPS:
                _zero(made, order, struct.unpack_from(order + "I", entry, 8)[0])
            else:
                kept.append(entry)
        laid = struct.pack(order + "H", len(kept)) + b"".join(kept) + following
        made[at : at + len(laid)] = laid
        at = struct.unpack(order + "I", following)[0]
    return bytes(made)


_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1, 9: 4, 10: 8}


def _zero(made: bytearray, order: str, at: int) -> None:
    """Overwrite a directory and all that its entries lead to."""
    count = struct.unpack_from(order + "H", made, at)[0]
    for i in range(count):
        _, kind, number, value = struct.unpack_from(order + "HHII", made, at + 2 + 12 * i)
        length = _SIZES.get(kind, 1) * number
        if length > 4:
            _blank(made, value, length)
    _blank(made, at + 2, 12 * count)


def _blank(made: bytearray, at: int, length: int) -> None:
    end = min(at + length, len(made))
    made[at:end] = bytes(max(end - at, 0))
