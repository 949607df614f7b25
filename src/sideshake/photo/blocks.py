"""A block of words about a picture, wherever a file keeps it: the place is blanked in it."""

from collections.abc import Sequence

from sideshake.photo import tiff, words


def blanked(block: bytes | bytearray) -> bytes:
    """Return `block` with the place blanked, of the same length.

    Nothing here needs to know what the block is: a TIFF header, an XMP packet or an IPTC field is
    found wherever it stands.
    """
    kept = bytearray(block)
    tiff.blank_place(kept)
    words.blank_place(kept)
    return bytes(kept)


def blank_spans(data: bytearray, spans: Sequence[slice]) -> None:
    """Blank the place in one block that a file keeps in several pieces, in this order."""
    pieces = [data[span] for span in spans]
    kept, at = blanked(b"".join(pieces)), 0
    for span, piece in zip(spans, pieces, strict=True):
        data[span] = kept[at : at + len(piece)]
        at += len(piece)
