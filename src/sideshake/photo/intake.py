"""A photograph is looked at before it is kept: what it is, how large, whole or not, when taken."""

import hashlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from PIL import ExifTags, Image

from sideshake.core.errors import InputError
from sideshake.photo.kinds import PictureKind, kind_of
from sideshake.photo.opening import Limits, decoding, exif_value, opened, orientation
from sideshake.photo.place import without_place

Source = Path | BinaryIO | bytes
TURNED_A_QUARTER = frozenset({5, 6, 7, 8})
EXIF_TIME = "%Y:%m:%d %H:%M:%S"


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureFile:
    """What is known of the file of a photograph.

    Width and height are those of the upright picture. `taken_at` is what the camera's clock
    showed, without a zone. Of several `frames` (an animation, a series) only the first is shown.
    """

    format: str
    extension: str
    width_px: int
    height_px: int
    frames: int
    taken_at: datetime | None
    sha256: str
    size_bytes: int

    @property
    def remark(self) -> str:
        """Return what the user should know about this picture; empty if there is nothing."""
        if self.frames == 1:
            return ""
        return f"holds {self.frames} pictures; only the first is shown"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPhotograph:
    """A photograph as it is to be kept: its file without the place, and what is known of it."""

    picture: PictureFile
    data: bytes


def examined(source: Source, *, limits: Limits) -> PictureFile:
    """Return what is known of a photograph after decoding all of it.

    Raises
    ------
    InputError : not JPEG, PNG, WebP or HEIC by its content; damaged or cut short; too large
    """
    return facts(whole(source, limits), limits)


def freed(source: Source, *, limits: Limits) -> KeptPhotograph:
    """Return a photograph examined, and its file without the place where it was taken.

    The picture itself stays byte for byte; size and SHA-256 are those of the file to be kept.

    Raises
    ------
    InputError : as `examined`, or the place could not be taken out
    """
    data = whole(source, limits)
    opened(data, limits)  # refuses too many pixels before anything else is done
    data = without_place(data)
    return KeptPhotograph(picture=facts(data, limits), data=data)


def whole(source: Source, limits: Limits) -> bytes:
    """Return the bytes of a file, refusing it when there are more than allowed."""
    if isinstance(source, bytes):
        data = source
    elif isinstance(source, Path):
        with source.open("rb") as stream:
            data = stream.read(limits.most_bytes + 1)
    else:
        data = source.read(limits.most_bytes + 1)
    if len(data) > limits.most_bytes:
        raise InputError(
            f"the picture is larger than the {limits.most_bytes / 1e6:.0f} MB that are allowed; "
            "save it smaller"
        )
    return data


def facts(data: bytes, limits: Limits) -> PictureFile:
    """Return what is known of a picture, after decoding it."""
    kind = kind_of(data)
    picture = opened(data, limits)
    with decoding(kind):
        picture.load()
    width, height = upright_size(picture)
    return PictureFile(
        format=kind.name,
        extension=kind.extension,
        width_px=width,
        height_px=height,
        frames=1 if kind is PictureKind.JPEG else getattr(picture, "n_frames", 1),
        taken_at=taken_at(picture),
        sha256=hashlib.sha256(data).hexdigest(),
        size_bytes=len(data),
    )


def upright_size(picture: Image.Image) -> tuple[int, int]:
    """Return width and height of the picture when it is turned as EXIF says."""
    width, height = picture.size
    return (height, width) if orientation(picture) in TURNED_A_QUARTER else (width, height)


def taken_at(picture: Image.Image) -> datetime | None:
    """Return when the picture was taken by the camera's clock, None if that is not known."""
    told = exif_value(
        picture, ExifTags.Base.DateTimeOriginal, directory=ExifTags.IFD.Exif
    ) or exif_value(picture, ExifTags.Base.DateTimeOriginal)
    try:
        return datetime.strptime(str(told).strip("\0 "), EXIF_TIME)
    except ValueError:
        return None
