"""A logo: taken as a small PNG of its own, or refused with words; Pillow reads what came out."""

import io

import pytest
from PIL import Image

from sideshake.core.errors import InputError
from sideshake.photo.logo import LONGEST_PX, is_svg, logo_copy
from sideshake.photo.opening import Limits
from tests.photo.samples import exif_with_place, saved

LIMITS = Limits()


def png(image: Image.Image) -> bytes:
    stream = io.BytesIO()
    image.save(stream, "PNG")
    return stream.getvalue()


def kept(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(logo_copy(data, limits=LIMITS)))


def test_a_transparent_ground_stays_transparent():
    image = Image.new("RGBA", (300, 200), (0, 0, 0, 0))
    image.paste((122, 85, 21, 255), (50, 50, 250, 150))
    copy = kept(png(image))
    assert copy.mode == "RGBA"
    assert copy.getpixel((5, 5))[3] == 0
    assert copy.getpixel((150, 100)) == (122, 85, 21, 255)


def test_a_large_logo_is_made_smaller_and_a_small_one_never_larger():
    assert kept(png(Image.new("RGB", (4000, 1000), "red"))).size == (LONGEST_PX, LONGEST_PX // 4)
    assert kept(png(Image.new("RGB", (40, 20), "red"))).size == (40, 20)


def test_nothing_is_told_but_the_picture():
    data = saved("JPEG", Image.new("RGB", (60, 40), "red"), exif=exif_with_place(turned=6))
    copy = kept(data)
    assert copy.size == (40, 60)
    assert not copy.getexif()
    assert not copy.info


def test_the_same_picture_gives_the_same_bytes():
    data = png(Image.new("RGB", (60, 40), "red"))
    assert logo_copy(data, limits=LIMITS) == logo_copy(data, limits=LIMITS)


@pytest.mark.parametrize("kind", ["WEBP", "HEIF"])
def test_other_kinds_of_picture_are_refused_with_words(kind):
    with pytest.raises(InputError, match="a PNG or a JPEG"):
        logo_copy(saved(kind, Image.new("RGB", (60, 40), "red")), limits=LIMITS)


def test_more_pixels_than_allowed_are_refused():
    with pytest.raises(InputError, match="pixels"):
        logo_copy(png(Image.new("RGB", (200, 200))), limits=Limits(most_pixels=10_000))


def test_a_damaged_logo_is_refused():
    with pytest.raises(InputError):
        logo_copy(png(Image.effect_noise((90, 90), 50))[:-900], limits=LIMITS)


@pytest.mark.parametrize("beginning", [b"<svg xmlns=", b'<?xml version="1.0"?>\n<!-- x --><SVG'])
def test_an_svg_drawing_is_noticed(beginning):
    assert is_svg(beginning)


def test_a_png_is_no_svg_drawing():
    assert not is_svg(png(Image.new("RGB", (9, 9))))
