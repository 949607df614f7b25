"""A copy of a photograph to be shown: small, upright, in sRGB, without a word about itself."""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

from sideshake.core.errors import InputError
from sideshake.photo.intake import Source, whole
from sideshake.photo.kinds import kind_of
from sideshake.photo.opening import Limits, decoding, opened, orientation

SMALL_PX, LARGE_PX = 320, 1600
PAPER = (0xF6, 0xF0, 0xE2)
"""What shows through where a picture is transparent: the ground of our pages."""
QUALITY = 85
SPARE = 2.0
"""A picture is first shrunk roughly to twice its size, then finely: quicker, no difference seen."""
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""How to turn a picture upright (Exif 2.32, tag 274)."""
BAND_PX = 256
AS_THEY_ARE = frozenset({"RGB", "L", "CMYK"})


def shown(source: Source, *, longest_px: int, limits: Limits) -> bytes:
    """Return a JPEG copy whose longer side is at most `longest_px`; it is never enlarged.

    Turned upright, its colours brought to sRGB, laid on the colour of our paper where it is
    transparent. The copy holds no EXIF, XMP, IPTC, comment or profile.

    Raises
    ------
    InputError : `longest_px` below 1, or a picture that `examined` would refuse
    """
    if longest_px < 1:
        raise InputError(f"longest_px = {longest_px}; at least 1 pixel is needed")
    data = whole(source, limits)
    picture = opened(data, limits)
    with decoding(kind_of(data)):
        turn = TURNS.get(orientation(picture))
        small = shrunk(picture, longest_px)
        flat = on_paper(small, small.info.get("icc_profile"))
        return jpeg_bytes(flat if turn is None else flat.transpose(turn))


def shrunk(picture: Image.Image, longest_px: int) -> Image.Image:
    """Return the picture in a mode that can be shrunk, not larger than wanted."""
    rough_px = round(SPARE * longest_px)
    picture.draft(None, (rough_px, rough_px))  # None keeps the colours
    profile = picture.info.get("icc_profile")
    plain = without_palette(picture)
    plain.thumbnail((longest_px, longest_px), Image.Resampling.LANCZOS, reducing_gap=SPARE)
    plain.info = {"icc_profile": profile}
    return plain


def without_palette(picture: Image.Image) -> Image.Image:
    """Return the picture in 8 bits a channel, as grey, RGB, CMYK or with transparency."""
    if picture.mode.startswith("I"):
        return Image.fromarray(high_bytes(picture))
    if "transparency" in picture.info or picture.mode in {"LA", "PA", "RGBA", "La", "RGBa"}:
        return picture.convert("RGBA")
    return picture if picture.mode in AS_THEY_ARE else picture.convert("RGB")


def high_bytes(picture: Image.Image) -> NDArray[np.uint8]:
    """Return the upper 8 of 16 bits of a grey picture, a band at a time to spare memory."""
    wide, high = picture.size
    kept = np.empty((high, wide), np.uint8)
    for top in range(0, high, BAND_PX):
        band = picture.crop((0, top, wide, min(top + BAND_PX, high)))
        kept[top : top + BAND_PX] = np.clip(np.asarray(band, dtype=np.int64) >> 8, 0, 255)
    return kept


def on_paper(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """Return the picture in sRGB, laid on paper where it is transparent."""
    paper = Image.new("RGB", picture.size, PAPER)
    if picture.mode == "RGBA":
        paper.paste(in_srgb(picture.convert("RGB"), profile), mask=picture.getchannel("A"))
    else:
        paper.paste(in_srgb(picture, profile))
    return paper


def in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """Return the picture in sRGB; where its profile makes no sense, as if it had none."""
    if profile:
        try:
            return profiled(picture, profile)
        except (ImageCms.PyCMSError, OSError):
            pass
    return picture.convert("RGB")


def profiled(picture: Image.Image, profile: bytes) -> Image.Image:
    """Return the picture brought from the colours of its profile to sRGB."""
    return ImageCms.profileToProfile(
        picture,
        ImageCms.ImageCmsProfile(io.BytesIO(profile)),
        ImageCms.createProfile("sRGB"),
        outputMode="RGB",
    ) or picture.convert("RGB")


def jpeg_bytes(picture: Image.Image) -> bytes:
    """Return the picture as a JPEG file that says nothing else."""
    plain = Image.new("RGB", picture.size)
    plain.paste(picture)
    stream = io.BytesIO()
    plain.save(stream, "JPEG", quality=QUALITY)
    return stream.getvalue()
