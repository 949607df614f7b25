"""Where a picture was taken goes away; the picture itself stays as it is, byte for byte."""

from sideshake.core.errors import InputError
from sideshake.photo import heic, jpeg, png, webp
from sideshake.photo.kinds import PictureKind, kind_of
from sideshake.photo.opening import tells_a_place

BLANKING = {
    PictureKind.JPEG: jpeg.without_place,
    PictureKind.PNG: png.without_place,
    PictureKind.WEBP: webp.without_place,
    PictureKind.HEIC: heic.without_place,
}


def without_place(data: bytes) -> bytes:
    """Return the file of a picture without the place where it was taken.

    EXIF position and maker's note, XMP and IPTC places go; date, orientation, colour profile and
    the coded picture stay. The answer is checked: its EXIF with a reader that shares no code
    with the blanking, its XMP by the names of places.

    Raises
    ------
    InputError : not a picture that is kept, damaged, or the place could not be taken out
    """
    kept = BLANKING[kind_of(data)](data)
    if tells_a_place(kept):
        raise InputError(
            "the picture tells where it was taken in a way that could not be taken out of it; "
            "save a copy without its place, or a screenshot of it, and give that"
        )
    return kept


def has_position(data: bytes) -> bool:
    """Return whether the file of a picture tells, or may tell, where it was taken.

    A maker's note, a film behind the picture or a text that cannot be read count as well.

    Raises
    ------
    InputError : not a picture that is kept, or damaged
    """
    return tells_a_place(data) or BLANKING[kind_of(data)](data) != data
