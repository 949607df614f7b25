"""PNG files: the place blanked in EXIF and text chunks, unknown chunks dropped.

After the PNG specification, third edition (W3C, 2025): chunks and their check sums. The chunks
"Raw profile type ..." are an older habit: EXIF, IPTC or XMP written as hexadecimal text.
"""

import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.photo.blocks import blanked

SIGNATURE_BYTES = 8
EXIF, END = b"eXIf", b"IEND"
TEXTS = frozenset({b"tEXt", b"zTXt", b"iTXt"})
KEPT = frozenset(
    b"IHDR PLTE IDAT IEND tRNS cHRM gAMA iCCP sBIT sRGB cICP mDCV cLLI bKGD hIST pHYs sPLT tIME"
    b" acTL fcTL fdAT".split()
)
MOST_TEXT_BYTES = 8_000_000
RAW_PROFILE = b"Raw profile type "
RAW = re.compile(rb"\s*(\S+)\s+(\d+)\s+([0-9a-fA-F\s]+)\Z")
HEX_LINE = 72
PLACE_KEY = re.compile(rb"gps|latitude|longitude|location|\bgeo", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class PngChunk:
    """One chunk of a PNG file."""

    name: bytes
    content: bytes

    def written(self) -> bytes:
        """Return the chunk as it stands in a file, with its check sum."""
        check = zlib.crc32(self.name + self.content)
        length = len(self.content).to_bytes(4, "big")
        return length + self.name + self.content + check.to_bytes(4, "big")


def without_place(data: bytes) -> bytes:
    """Return a PNG file with the place blanked, nothing behind its end; the picture stays.

    Raises
    ------
    InputError : the file is cut short or damaged
    """
    kept = [without_place_chunk(chunk) for chunk in chunks(data)]
    return data[:SIGNATURE_BYTES] + b"".join(chunk.written() for chunk in kept if chunk)


def chunks(data: bytes) -> Iterator[PngChunk]:
    """Yield the chunks of a PNG file up to its end mark, their check sums checked."""
    at = SIGNATURE_BYTES
    while at + 12 <= len(data):
        length = int.from_bytes(data[at : at + 4], "big")
        content, end = data[at + 8 : at + 8 + length], at + 12 + length
        chunk = PngChunk(name=data[at + 4 : at + 8], content=content)
        if chunk.written() != data[at:end]:
            break
        yield chunk
        if chunk.name == END:
            return
        at = end
    raise InputError("the PNG picture is damaged or cut short; copy it again")


def without_place_chunk(chunk: PngChunk) -> PngChunk | None:
    """Return a chunk with the place blanked, None where it has to go."""
    if chunk.name in KEPT:
        return chunk
    if chunk.name == EXIF:
        return PngChunk(name=EXIF, content=blanked(chunk.content))
    if chunk.name in TEXTS:
        return without_place_text(chunk)
    return None


def without_place_text(chunk: PngChunk) -> PngChunk | None:
    """Return a text chunk with the place blanked, None where it cannot be read or tells a place.

    Its text is one of three: plain, packed, or UTF-8 with a language (which may be packed).
    """
    key, _, rest = chunk.content.partition(b"\0")
    if PLACE_KEY.search(key):
        return None
    head, text = split_text(chunk.name, rest)
    packed = chunk.name == b"zTXt" or (chunk.name == b"iTXt" and rest[:1] == b"\x01")
    if packed:
        text = unpacked(text)
    text = blanked_profile(text) if key.startswith(RAW_PROFILE) else blanked(text)
    if not text:
        return None
    return PngChunk(
        name=chunk.name,
        content=key + b"\0" + head + (zlib.compress(text) if packed else text),
    )


def split_text(name: bytes, rest: bytes) -> tuple[bytes, bytes]:
    """Return what stands before the text of a chunk (behind its key), and the text."""
    if name == b"tEXt":
        return b"", rest
    if name == b"zTXt":
        return rest[:1], rest[1:]
    language, _, others = rest[2:].partition(b"\0")
    key, _, text = others.partition(b"\0")
    return rest[:2] + language + b"\0" + key + b"\0", text


def unpacked(text: bytes) -> bytes:
    """Return packed text unpacked; nothing where it is damaged or would grow beyond all sense."""
    unpacking = zlib.decompressobj()
    try:
        plain = unpacking.decompress(text, MOST_TEXT_BYTES)
    except zlib.error:
        return b""
    return plain if unpacking.eof else b""


def blanked_profile(text: bytes) -> bytes:
    """Return a profile in hexadecimal text with the place blanked; nothing if unreadable."""
    raw = RAW.match(text)
    digits = b"".join(raw[3].split()) if raw else b""
    if not raw or len(digits) % 2 or int(raw[2]) != len(digits) // 2:
        return b""
    kept = blanked(bytes.fromhex(digits.decode())).hex().encode()
    lines = [kept[at : at + HEX_LINE] for at in range(0, len(kept), HEX_LINE)]
    return b"\n" + raw[1] + b"\n" + raw[2].rjust(8) + b"\n" + b"\n".join(lines) + b"\n"
