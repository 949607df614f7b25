"""WebP files: the place blanked in every chunk that is not picture.

After RFC 9649 (WebP image format): RIFF chunks, padded to even lengths.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.photo.blocks import blank_spans

PICTURE = frozenset({b"VP8 ", b"VP8L", b"VP8X", b"ICCP", b"ANIM", b"ANMF", b"ALPH"})
HEADER_BYTES = 8
FIRST_CHUNK = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class WebpChunk:
    """One chunk: its name, and where its content stands."""

    name: bytes
    start: int
    end: int


def without_place(data: bytes) -> bytes:
    """Return a WebP file with the place blanked, nothing behind its end; the picture stays.

    Raises
    ------
    InputError : the file is cut short or damaged
    """
    end = HEADER_BYTES + int.from_bytes(data[4:8], "little")
    if end > len(data):
        raise InputError(
            f"the WebP picture is cut short: {len(data)} of {end} bytes are there; copy it again"
        )
    kept = bytearray(data[:end])
    for chunk in chunks(bytes(kept)):
        if chunk.name not in PICTURE:
            blank_spans(kept, [slice(chunk.start, chunk.end)])
    return bytes(kept)


def chunks(data: bytes) -> Iterator[WebpChunk]:
    """Yield the chunks of a WebP file."""
    at = FIRST_CHUNK
    while at + HEADER_BYTES <= len(data):
        start = at + HEADER_BYTES
        end = start + int.from_bytes(data[at + 4 : start], "little")
        if end > len(data):
            raise InputError(
                "the WebP picture is damaged, a chunk runs past its end; copy it again"
            )
        yield WebpChunk(name=data[at : at + 4], start=start, end=end)
        at = end + end % 2
