"""Copies to be shown; the outside references are Pillow's `exif_transpose` and littleCMS."""

import io
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from PIL import Image, ImageCms, ImageOps

from sideshake.core.errors import InputError
from sideshake.photo.intake import freed
from sideshake.photo.kinds import PictureKind
from sideshake.photo.opening import AT_ONCE, Limits, decoding
from sideshake.photo.thumbnail import LARGE_PX, PAPER, SMALL_PX, high_bytes, shown
from tests.photo.samples import FORMATS, drawn, exif_with_place, photograph, saved

LIMITS = Limits()
CLOSE = 12
"""Levels of 255; JPEG at this quality moves flat colours by less."""


def copy_of(data, longest_px=SMALL_PX):
    return Image.open(io.BytesIO(shown(data, longest_px=longest_px, limits=LIMITS)))


def corners():
    """Return a picture of four flat corners: red, green, blue, white."""
    pixels = np.zeros((80, 120, 3), np.uint8)
    pixels[:40, :60] = (220, 30, 30)
    pixels[:40, 60:] = (30, 200, 30)
    pixels[40:, :60] = (30, 30, 220)
    pixels[40:, 60:] = (240, 240, 240)
    return Image.fromarray(pixels)


@pytest.mark.parametrize("turned", range(1, 9))
@pytest.mark.parametrize("kind", FORMATS)
def test_every_orientation_is_shown_upright(kind, turned):
    data = saved(kind, corners(), exif=exif_with_place(turned=turned))
    reference = ImageOps.exif_transpose(Image.open(io.BytesIO(data))).convert("RGB")
    copy = copy_of(data)
    assert copy.size == reference.size
    width, height = copy.size
    for x in (width // 5, width - width // 5):
        for y in (height // 5, height - height // 5):
            difference = np.subtract(copy.getpixel((x, y)), reference.getpixel((x, y)), dtype=int)
            assert np.abs(difference).max() <= CLOSE


def test_a_quarter_turn_brings_the_left_lower_corner_up():
    """Tag 274 = 6: the row stored first is the right side of the scene (Exif 2.32, 4.6.4)."""
    copy = copy_of(saved("JPEG", corners(), exif=exif_with_place(turned=6)))
    assert copy.size == (80, 120)
    assert np.abs(np.subtract(copy.getpixel((10, 10)), (30, 30, 220), dtype=int)).max() <= CLOSE


@pytest.mark.parametrize("longest_px", [SMALL_PX, LARGE_PX])
def test_the_longer_side_is_as_wanted(longest_px):
    data = saved("JPEG", Image.effect_noise((3000, 2000), 40))
    assert copy_of(data, longest_px).size == (longest_px, round(longest_px * 2 / 3))


def test_a_small_picture_is_not_enlarged():
    assert copy_of(saved("PNG"), LARGE_PX).size == drawn().size


def test_a_thin_picture_keeps_at_least_one_pixel():
    assert copy_of(saved("PNG", Image.new("RGB", (2000, 1))), 100).size == (100, 1)


@pytest.mark.parametrize("kind", FORMATS)
def test_the_copy_says_nothing_about_itself(kind):
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    options = {"comment": b"mine"} if kind == "JPEG" else {}
    data = photograph(kind, icc_profile=profile, **options)
    copy = copy_of(data)
    assert set(copy.info) == {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert not copy.getexif()


def close_to(picture, colour, *, at=(10, 10), levels=CLOSE):
    return np.abs(np.subtract(picture.getpixel(at), colour, dtype=int)).max() <= levels


def test_grey_stays_grey():
    copy = copy_of(saved("PNG", Image.new("L", (50, 40), 130)))
    assert close_to(copy, (130, 130, 130), levels=2)


def test_sixteen_bits_are_brought_to_eight():
    copy = copy_of(saved("PNG", Image.new("I;16", (50, 40), 0x8040)))
    assert close_to(copy, (128, 128, 128), levels=2)


def test_cmyk_is_brought_to_rgb():
    """Half cyan, no black: red is halved, green and blue stay full (naive ink arithmetic)."""
    copy = copy_of(saved("JPEG", Image.new("CMYK", (50, 40), (128, 0, 0, 0))))
    assert close_to(copy, (127, 255, 255))


def test_what_is_transparent_shows_the_paper():
    clear = Image.new("RGBA", (60, 40), (200, 0, 0, 255))
    clear.paste((0, 0, 0, 0), (0, 0, 30, 40))
    for picture in (clear, clear.quantize(4), clear.convert("LA")):
        assert close_to(copy_of(saved("PNG", picture)), PAPER, levels=3)
    assert close_to(copy_of(saved("PNG", clear)), (200, 0, 0), at=(50, 20))


def test_a_palette_with_one_clear_colour_shows_the_paper():
    picture = Image.new("P", (40, 40), 0)
    picture.putpalette([10, 200, 10, 200, 10, 10])
    picture.paste(1, (20, 0, 40, 40))
    copy = copy_of(saved("PNG", picture, transparency=0))
    assert close_to(copy, PAPER, levels=3)
    assert close_to(copy, (200, 10, 10), at=(30, 20), levels=16)


def test_half_transparent_mixes_with_the_paper():
    copy = copy_of(saved("PNG", Image.new("RGBA", (40, 40), (0, 0, 0, 128))))
    assert close_to(copy, [round(part * 127 / 255) for part in PAPER], levels=3)


def test_colours_are_brought_to_srgb_as_littlecms_does():
    """A grey of a linear profile is brighter in sRGB; the reference is the transfer function of
    IEC 61966-2-1: 0.25 linear is 0.537, level 137."""
    copy = copy_of(saved("PNG", Image.new("RGB", (40, 40), (64, 64, 64)), icc_profile=linear()))
    assert close_to(copy, (137, 137, 137), levels=2)


def test_colours_of_transparent_pictures_are_brought_to_srgb_too():
    picture = Image.new("RGBA", (40, 40), (64, 64, 64, 255))
    assert close_to(copy_of(saved("PNG", picture, icc_profile=linear())), (137,) * 3, levels=2)


def linear():
    """Return an sRGB profile with its tone curves made straight, written here after ICC.1."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    for index in range(int.from_bytes(profile[128:132], "big")):
        at = 132 + 12 * index
        if bytes(profile[at : at + 4]) in {b"rTRC", b"gTRC", b"bTRC"}:
            start = int.from_bytes(profile[at + 4 : at + 8], "big")
            profile[start : start + 12] = b"curv" + bytes(8)
            profile[at + 8 : at + 12] = (12).to_bytes(4, "big")
    return bytes(profile)


@pytest.mark.parametrize("profile", [b"nonsense", bytes(200), linear()[:150]])
def test_a_profile_without_sense_is_passed_over(profile):
    data = saved("PNG", Image.new("RGB", (40, 40), (64, 64, 64)), icc_profile=profile)
    assert close_to(copy_of(data), (64, 64, 64), levels=2)


def test_a_profile_for_other_colours_is_passed_over():
    data = saved("PNG", Image.new("L", (40, 40), 64), icc_profile=linear())
    assert close_to(copy_of(data), (64, 64, 64), levels=2)


def test_the_copy_of_the_freed_file_is_the_same():
    data = photograph("JPEG")
    kept = freed(data, limits=LIMITS).data
    assert shown(kept, longest_px=20, limits=LIMITS) == shown(data, longest_px=20, limits=LIMITS)


def test_a_jpeg_shrunk_while_decoding_looks_as_shrunk_after():
    """Mean difference below 2 levels against Pillow's own resizing of the whole picture."""
    whole = corners().resize((2400, 1600), Image.Resampling.BICUBIC)
    copy = copy_of(saved("JPEG", whole, quality=95))
    reference = whole.resize(copy.size, Image.Resampling.LANCZOS)
    assert np.abs(np.subtract(copy, reference, dtype=int)).mean() < 2


@pytest.mark.parametrize("kind", FORMATS)
def test_a_damaged_picture_is_refused(kind):
    data = photograph(kind)
    with pytest.raises(InputError, match=r"damaged or cut short; copy it again$"):
        shown(data[: len(data) // 2], longest_px=20, limits=LIMITS)


def test_too_many_pixels_and_no_pixels_are_refused():
    with pytest.raises(InputError, match="million pixels"):
        shown(saved("PNG"), longest_px=20, limits=Limits(most_pixels=10))
    with pytest.raises(InputError, match="longest_px = 0"):
        shown(saved("PNG"), longest_px=0, limits=LIMITS)


def test_a_large_grey_picture_of_16_bits_is_cut_down_band_by_band():
    # by hand: the upper byte of 256 * k + 255 is k; as tall as two bands and a bit
    values = (np.arange(600, dtype=np.uint16)[:, None] % 256) * 256 + 255
    picture = Image.fromarray(np.broadcast_to(values, (600, 40)).astype(np.uint16))
    found = high_bytes(picture)
    assert found.dtype == np.uint8
    assert (found == (np.arange(600) % 256)[:, None]).all()


def test_no_more_than_two_pictures_are_decoded_at_once():
    most, now, seen = threading.Lock(), [0], []

    def decode(_number):
        with decoding(PictureKind.PNG):
            with most:
                now[0] += 1
                seen.append(now[0])
            time.sleep(0.01)
            with most:
                now[0] -= 1

    with ThreadPoolExecutor(6) as pool:
        list(pool.map(decode, range(12)))
    assert max(seen) == AT_ONCE == 2


def test_a_damaged_picture_gives_its_place_back():
    for _each in range(AT_ONCE + 1):
        with pytest.raises(InputError), decoding(PictureKind.PNG):
            raise OSError("broken data stream")
    with decoding(PictureKind.PNG):
        pass
