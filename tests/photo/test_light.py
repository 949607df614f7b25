"""Photographs as light; the outside references are IEC 61966-2-1 and Pillow's `exif_transpose`."""

import io

import numpy as np
import pytest
from PIL import ExifTags, Image, ImageOps

from sideshake.core.errors import InputError
from sideshake.photo.light import PictureBox, coded, linear, photograph
from tests.photo.samples import FORMATS, drawn, saved


def png(picture, **more):
    stream = io.BytesIO()
    picture.save(stream, "PNG", **more)
    return stream.getvalue()


def turned_png(picture, turned):
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = turned
    return png(picture, exif=exif)


def test_light_of_codes_is_that_of_the_standard():
    """IEC 61966-2-1: code 0.04045 is light 0.0031308; code 188 of 255 is half the light."""
    assert linear(np.array([0.04045])) == pytest.approx(0.0031308, rel=1e-4)
    assert linear(np.array([188 / 255])) == pytest.approx(0.503, abs=0.001)
    codes = np.arange(256) / 255
    assert coded(linear(codes)) == pytest.approx(codes, abs=1e-12)


def test_primaries_weigh_as_the_standard_says():
    colours = np.zeros((1, 3, 3), np.uint8)
    colours[0, range(3), range(3)] = 255
    light = photograph(png(Image.fromarray(colours))).strip(
        PictureBox(left=0, top=0, right=3, bottom=1)
    )
    assert light.light[0] == pytest.approx([0.2126, 0.7152, 0.0722], abs=1e-6)


@pytest.mark.parametrize("turned", range(1, 9))
def test_a_strip_is_cut_from_the_upright_picture(turned):
    picture = drawn(37, 23)
    photo = photograph(turned_png(picture, turned))
    upright = ImageOps.exif_transpose(Image.open(io.BytesIO(turned_png(picture, turned))))
    assert (photo.width_px, photo.height_px) == upright.size
    whole = linear(np.asarray(upright) / 255.0) @ (0.2126, 0.7152, 0.0722)
    patch = photo.strip(PictureBox(left=5, top=3, right=20, bottom=17))
    assert patch.light == pytest.approx(whole[3:17, 5:20], abs=1e-6)
    assert patch.whole_xy(np.array([[0.0, 0.0]])).tolist() == [[5.0, 3.0]]


@pytest.mark.parametrize("turned", range(1, 9))
def test_places_in_the_small_copy_are_places_in_the_whole(turned):
    """A square that begins at column 60 and row 30 of the upright picture is found there."""
    upright = np.zeros((101, 163), np.uint8)
    upright[30:42, 60:81] = 200
    stored = Image.fromarray(upright)
    back = {6: 8, 8: 6}.get(turned, turned)
    stored = ImageOps.exif_transpose(Image.open(io.BytesIO(turned_png(stored, back))))
    small = photograph(turned_png(stored, turned)).small(longest_px=60)
    assert small.step == 3
    rows, columns = np.nonzero(small.light)
    weights = small.light[rows, columns]
    middle = np.array([[np.average(columns, weights=weights), np.average(rows, weights=weights)]])
    assert small.whole_xy(middle)[0] == pytest.approx([70.0, 35.5], abs=0.05)
    assert small.own_xy(small.whole_xy(middle)) == pytest.approx(middle)


@pytest.mark.parametrize("kind", FORMATS)
def test_every_kind_that_is_kept_gives_light(kind):
    photo = photograph(saved(kind))
    assert photo.small().light.dtype == np.float32
    assert photo.from_camera is False


def test_grey_transparent_and_palette_pictures_give_light():
    grey = drawn().convert("L")
    expected = linear(np.asarray(grey) / 255.0)
    assert photograph(png(grey)).small().light == pytest.approx(expected, abs=1e-6)
    for mode in ("P", "LA", "RGBA", "1", "I;16"):
        assert photograph(png(drawn().convert("L").convert(mode))).small().light.ndim == 2


def test_exif_tells_of_a_camera_and_of_portrait_processing():
    exif = Image.Exif()
    exif[ExifTags.Base.Make] = "Somebody"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.CustomRendered] = 8
    photo = photograph(png(drawn(), exif=exif))
    assert photo.from_camera
    assert photo.rendering == 8


def test_hundredths_are_of_width_and_height():
    photo = photograph(png(drawn(48, 32)))
    assert photo.at(50, 25) == (23.5, 7.5)
    with pytest.raises(InputError, match="0 to 100"):
        photo.at(101, 5)


def test_the_very_edge_is_a_place_in_the_picture_and_beyond_it_is_none():
    photo = photograph(png(drawn(48, 32)))
    for corner in ((0, 0), (100, 0), (0, 100), (100, 100)):
        photo.require_place(photo.at(*corner))
    for outside in ((-0.6, 5.0), (47.6, 5.0), (5.0, -0.6), (5.0, 31.6), (float("nan"), 5.0)):
        with pytest.raises(InputError, match="outside the photograph, which is 48 pixels wide"):
            photo.require_place(outside)
    assert photo.small(longest_px=20).nearest(photo.at(100, 100)) == (15.5, 9.5)


@pytest.mark.parametrize("turned", range(1, 9))
def test_colours_are_those_of_the_upright_picture(turned):
    photo = photograph(turned_png(drawn(36, 24), turned))
    box = PictureBox(left=4, top=2, right=20, bottom=14)
    planes = photo.colours(box)
    assert planes @ np.array([0.2126, 0.7152, 0.0722]) == pytest.approx(
        photo.strip(box).light, abs=1e-5
    )
    assert photo.colours(box, 2).shape == (6, 8, 3)
    uneven = PictureBox(left=4, top=2, right=21, bottom=15)  # columns and rows that fill no step
    assert photo.colours(uneven, 2) @ np.array([0.2126, 0.7152, 0.0722]) == pytest.approx(
        photo.coarse(uneven, 2).light, abs=1e-5
    )
    grey = photograph(png(drawn(36, 24).convert("L")))
    assert grey.colours(box).shape == (12, 16, 1)


def test_a_piece_beyond_the_picture_is_refused_and_a_square_is_cut_off():
    photo = photograph(png(drawn(48, 32)))
    with pytest.raises(InputError, match="beyond"):
        photo.strip(PictureBox(left=0, top=0, right=49, bottom=5))
    with pytest.raises(InputError, match="one pixel"):
        PictureBox(left=3, top=0, right=3, bottom=5)
    assert photo.around(2, 30, 10) == PictureBox(left=0, top=20, right=14, bottom=32)


def test_what_is_no_picture_is_refused():
    with pytest.raises(InputError, match="picture"):
        photograph(b"nothing of the kind")
