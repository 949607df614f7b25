"""Pictures opened by Pillow so that no file, however damaged, does more than be refused."""

import io
import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TypeVar

import pi_heif
from PIL import ExifTags, Image

from sideshake.core.errors import InputError
from sideshake.photo import heic
from sideshake.photo.kinds import PictureKind, kind_of
from sideshake.photo.words import names_a_place

pi_heif.register_heif_opener()

PILLOWS_MOST_PIXELS = 89_478_485
"""Above it Pillow itself warns of a picture made to fill the memory."""
FAULTS = (
    OSError, SyntaxError, ValueError, LookupError, TypeError, ArithmeticError, AttributeError,
    EOFError, RuntimeError, struct.error, zlib.error, Image.DecompressionBombError, Warning,
)  # fmt: skip
"""What Pillow and its decoders raise on damaged files."""
AT_ONCE = 2
PLACES = threading.BoundedSemaphore(AT_ONCE)
"""So many pictures are decoded at once, that memory stays bounded (docs/performance.md)."""
QUIET = threading.Lock()
"""The list of warning filters belongs to all threads."""

Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How large a picture may be: its file in bytes, and its area in pixels."""

    most_bytes: int = 60_000_000
    most_pixels: int = 80_000_000

    def __post_init__(self) -> None:
        if self.most_bytes < 1 or not 1 <= self.most_pixels <= PILLOWS_MOST_PIXELS:
            raise InputError(
                f"limits for pictures are at least 1 byte and 1 pixel, and at most "
                f"{PILLOWS_MOST_PIXELS} pixels: {self}"
            )


@contextmanager
def faults_refused(kind: PictureKind) -> Iterator[None]:
    """Turn what the decoders raise on a damaged file into an InputError."""
    try:
        yield
    except InputError:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise too_many_pixels(PILLOWS_MOST_PIXELS) from None
    except FAULTS:  # their words ("broken data stream") tell a restorer nothing
        raise InputError(
            f"the {kind.name} picture is damaged or cut short; copy it again"
        ) from None


@contextmanager
def decoding(kind: PictureKind) -> Iterator[None]:
    """Wait until fewer than two pictures are being decoded; then as `faults_refused`."""
    with PLACES, faults_refused(kind):
        yield


@contextmanager
def no_warnings() -> Iterator[None]:
    """Keep quiet about words that are badly written; whoever reads them decides."""
    with QUIET, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        yield


def opened(data: bytes, limits: Limits) -> Image.Image:
    """Return a picture of which only the header has been read.

    Raises
    ------
    InputError : damaged, or more pixels than `limits` allow
    """
    picture = header_read(data)
    if picture.width * picture.height > limits.most_pixels:
        raise too_many_pixels(limits.most_pixels)
    return picture


def header_read(data: bytes) -> Image.Image:
    """Return a picture of which only the header has been read, however large it is."""
    kind = kind_of(data)
    if kind is PictureKind.HEIC:
        heic.require_readable_names(data)
    with faults_refused(kind), no_warnings():
        return Image.open(io.BytesIO(data), formats=[kind.value])


def too_many_pixels(most: int) -> InputError:
    """Return the error for a picture whose area is above the limit."""
    return InputError(
        f"the picture has more than the {most / 1e6:.0f} million pixels that are allowed; "
        "save it smaller"
    )


def exif_value(picture: Image.Image, tag: int, *, directory: int | None = None) -> object:
    """Return what EXIF says under `tag`, None where it says nothing that can be read."""
    try:
        with no_warnings():
            exif = picture.getexif()
            return (exif if directory is None else exif.get_ifd(directory)).get(tag)
    except FAULTS:
        return None


def orientation(picture: Image.Image) -> int:
    """Return how the picture lies, 1 (upright) to 8, as EXIF counts."""
    value = exif_value(picture, ExifTags.Base.Orientation)
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def tells_a_place(data: bytes) -> bool:
    """Return whether Pillow finds a place in EXIF, or XMP names one."""
    picture = header_read(data)
    xmp = picture.info.get("xmp")
    return has_exif_place(picture) or (isinstance(xmp, bytes) and names_a_place(xmp))


def has_exif_place(picture: Image.Image) -> bool:
    """Return whether EXIF points to a place; no where EXIF cannot be read."""
    try:
        with no_warnings():
            exif = picture.getexif()
            return ExifTags.IFD.GPSInfo in exif or bool(exif.get_ifd(ExifTags.IFD.GPSInfo))
    except FAULTS:
        return False
