"""JPEG files: the place blanked in every segment that is not picture, and in pictures behind.

After ITU-T T.81 (JPEG), Annex B: markers and segments; Adobe's XMP part 3 for extended XMP.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.photo.blocks import blank_spans

START = b"\xff\xd8"
MARKER = re.compile(rb"\xff([^\x00\xff\xd0-\xd7])")
"""A marker, not a 255 inside the coded picture (0 follows) nor a restart mark."""
END_OF_PICTURE, COMMENT = 0xD9, 0xFE
APPLICATION = range(0xE0, 0xF0)

EXIF, PHOTOSHOP, COLOURS = b"Exif\0\0", b"Photoshop 3.0\0", b"ICC_PROFILE\0"
LONG_XMP = b"http://ns.adobe.com/xmp/extension/\0"
LONG_XMP_HEADER_BYTES = len(LONG_XMP) + 32 + 4 + 4
"""Name, fingerprint, whole length, and where this piece belongs."""
MOST_FURTHER = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class JpegSegment:
    """A marker segment: what stands between its length and the next marker."""

    marker: int
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """One JPEG picture inside a file: its segments, and where it ends."""

    segments: tuple[JpegSegment, ...]
    end: int


def without_place(data: bytes) -> bytes:
    """Return a JPEG file with the place blanked; the coded picture stays byte for byte.

    Further whole JPEG pictures behind the first (previews, brightness maps) are kept and blanked
    too. What else stands behind, such as a short film, is taken away.

    Raises
    ------
    InputError : the file is cut short or damaged
    """
    kept = bytearray(data)
    end = blank_picture(kept, parts(kept, 0))
    for _, start in zip(range(MOST_FURTHER), further_starts(data, end), strict=False):
        if start >= end and (behind := parts_or_none(kept, start)):
            kept[end:start] = bytes(start - end)
            end = blank_picture(kept, behind)
    return bytes(kept[:end])


def parts(data: bytes | bytearray, start: int) -> Parts:
    """Return the parts of the JPEG picture that begins at `start`."""
    segments: list[JpegSegment] = []
    at = start + len(START)
    while marker := MARKER.search(data, at):
        if marker[1][0] == END_OF_PICTURE:
            return Parts(segments=tuple(segments), end=marker.end())
        length = int.from_bytes(data[marker.end() : marker.end() + 2], "big")
        at = marker.end() + max(length, 2)
        segments.append(JpegSegment(marker=marker[1][0], start=marker.end() + 2, end=at))
    raise InputError("the JPEG picture is cut short, its end mark is missing; copy it again")


def parts_or_none(data: bytearray, start: int) -> Parts | None:
    """Return the parts of the picture at `start`, None if there is no whole picture."""
    try:
        return parts(data, start)
    except InputError:
        return None


def further_starts(data: bytes, end: int) -> Iterator[int]:
    """Yield where further pictures may begin."""
    return (found.start() for found in re.compile(rb"\xff\xd8\xff").finditer(data, end))


def blank_picture(data: bytearray, picture: Parts) -> int:
    """Return where the picture ends, after blanking the place in its segments."""
    for spans in blocks(data, picture.segments):
        blank_spans(data, spans)
    return picture.end


def blocks(data: bytearray, segments: Iterable[JpegSegment]) -> list[list[slice]]:
    """Return the blocks of words about a picture, each as its pieces in order.

    A long block is cut into segments of at most 64 kB; its pieces belong together.
    """
    exif, photoshop, long_xmp, others = [], [], [], []
    for segment in segments:
        if segment.marker not in APPLICATION and segment.marker != COMMENT:
            continue
        head = bytes(data[segment.start : segment.start + len(LONG_XMP)])
        if head.startswith(EXIF):
            exif.append(slice(segment.start + len(EXIF), segment.end))
        elif head.startswith(PHOTOSHOP):
            photoshop.append(slice(segment.start + len(PHOTOSHOP), segment.end))
        elif head.startswith(LONG_XMP):
            long_xmp.append(slice(segment.start + LONG_XMP_HEADER_BYTES, segment.end))
        elif not head.startswith(COLOURS):
            others.append([slice(segment.start, segment.end)])
    long_xmp.sort(key=lambda piece: bytes(data[piece.start - 4 : piece.start]))
    return [exif, photoshop, long_xmp, *others]
