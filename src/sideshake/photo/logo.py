"""A workshop's logo: checked like a photograph, then kept as one small PNG of its own."""

import io

from PIL import Image

from sideshake.core.errors import InputError
from sideshake.photo.intake import Source, freed
from sideshake.photo.kinds import PictureKind, kind_of
from sideshake.photo.opening import Limits, decoding, opened, orientation
from sideshake.photo.thumbnail import TURNS, in_srgb, shrunk

LONGEST_PX = 1000
"""65 mm on paper at 390 pixels to the inch, more than a printer shows."""
SVG_SEEN_WITHIN = 4096
SAVE_IT_AS_PNG = "save it as PNG, about 1500 pixels wide, and give that"


def logo_copy(source: Source, *, limits: Limits) -> bytes:
    """Return the PNG that is kept of a logo: upright, in sRGB, transparent where it was.

    It holds no EXIF, text or profile, and is never enlarged.

    Raises
    ------
    InputError : neither PNG nor JPEG by its content; damaged; too large; an SVG drawing
    """
    kept = freed(source, limits=limits).data
    if kind_of(kept) not in (PictureKind.PNG, PictureKind.JPEG):
        raise InputError(f"a logo is a PNG or a JPEG picture; {SAVE_IT_AS_PNG}")
    picture = opened(kept, limits)
    with decoding(kind_of(kept)):
        turn = TURNS.get(orientation(picture))
        small = shrunk(picture, LONGEST_PX)
        plain = own_picture(small, small.info.get("icc_profile"))
    return png_bytes(plain if turn is None else plain.transpose(turn))


def is_svg(beginning: bytes) -> bool:
    """Return whether a file begins like an SVG drawing."""
    return b"<svg" in beginning[:SVG_SEEN_WITHIN].lower()


def own_picture(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """Return the picture in sRGB, with its transparency if it has any."""
    if picture.mode != "RGBA":
        return in_srgb(picture, profile)
    plain = in_srgb(picture.convert("RGB"), profile).convert("RGBA")
    plain.putalpha(picture.getchannel("A"))
    return plain


def png_bytes(picture: Image.Image) -> bytes:
    """Return the picture as a PNG file that says nothing else."""
    plain = Image.new(picture.mode, picture.size)
    plain.paste(picture)
    stream = io.BytesIO()
    plain.save(stream, "PNG", optimize=True)
    return stream.getvalue()
