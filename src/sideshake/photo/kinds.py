"""The four kinds of picture that are kept, told apart by what is in them, never by their name."""

from enum import Enum

from sideshake.core.errors import InputError

HEIC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"})
SHARED_BRANDS = frozenset({b"mif1", b"msf1"})
"""Brands that say only "pictures in boxes"; which coder made them stands in the list behind."""
MOST_BRANDS_BYTES = 256
ALLOWED = "JPEG, PNG, WebP and HEIC are kept"


class PictureKind(Enum):
    """A kind of picture; its value is the name that Pillow opens it by."""

    JPEG = "JPEG"
    PNG = "PNG"
    WEBP = "WEBP"
    HEIC = "HEIF"

    @property
    def extension(self) -> str:
        """Return the ending that we give its file."""
        return {"JPEG": ".jpg", "PNG": ".png", "WEBP": ".webp", "HEIF": ".heic"}[self.value]


def kind_of(data: bytes) -> PictureKind:
    """Return the kind of the picture that begins with `data`.

    Raises
    ------
    InputError : it is none of the four
    """
    if not data:
        raise InputError(f"the picture is empty, a file of 0 bytes; {ALLOWED}")
    if data.startswith(b"\xff\xd8\xff"):
        return PictureKind.JPEG
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return PictureKind.PNG
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return PictureKind.WEBP
    if data[4:8] == b"ftyp" and is_heic(data):
        return PictureKind.HEIC
    raise InputError(f"the file is not a picture of a kind that is kept; {ALLOWED}")


def is_heic(data: bytes) -> bool:
    """Return whether a file of boxes says that its pictures are coded as HEIC."""
    size = min(int.from_bytes(data[:4], "big"), MOST_BRANDS_BYTES)
    major, others = data[8:12], {data[at : at + 4] for at in range(16, size, 4)}
    return major in HEIC_BRANDS or (major in SHARED_BRANDS and bool(others & HEIC_BRANDS))
