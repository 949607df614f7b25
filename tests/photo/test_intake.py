"""What is known of a photograph, and what is refused before it can do harm."""

import hashlib
import io
import struct
import zlib
from datetime import datetime

import pytest
from PIL import ExifTags, Image

from sideshake.core.errors import InputError
from sideshake.photo import heic
from sideshake.photo.intake import examined, freed
from sideshake.photo.opening import PILLOWS_MOST_PIXELS, Limits
from tests.photo.samples import FORMATS, drawn, photograph, place_read_by_pillow, read_back, saved

LIMITS = Limits()


@pytest.mark.parametrize(
    ("kind", "extension"),
    [("JPEG", ".jpg"), ("PNG", ".png"), ("WEBP", ".webp"), ("HEIF", ".heic")],
)
def test_a_photograph_is_described(kind, extension):
    data = photograph(kind, turned=6)
    picture = examined(data, limits=LIMITS)
    assert picture.extension == extension
    assert (picture.width_px, picture.height_px) == (32, 48)  # drawn lying, 48 by 32
    assert picture.taken_at == datetime(2024, 5, 6, 7, 8, 9)
    assert picture.sha256 == hashlib.sha256(data).hexdigest()
    assert picture.size_bytes == len(data)
    assert (picture.frames, picture.remark) == (1, "")


def test_heic_goes_by_its_own_name():
    assert examined(saved("HEIF"), limits=LIMITS).format == "HEIC"


@pytest.mark.parametrize("turned", range(1, 9))
@pytest.mark.parametrize("kind", FORMATS)
def test_the_size_is_that_of_the_upright_picture(kind, turned):
    picture = examined(photograph(kind, turned=turned), limits=LIMITS)
    assert (picture.width_px, picture.height_px) == ((48, 32) if turned < 5 else (32, 48))


def test_path_stream_and_bytes_say_the_same(tmp_path):
    data = photograph("JPEG")
    path = tmp_path / "lies.png"
    path.write_bytes(data)
    with path.open("rb") as stream:
        from_stream = examined(stream, limits=LIMITS)
    assert examined(path, limits=LIMITS) == examined(data, limits=LIMITS) == from_stream
    assert from_stream.format == "JPEG"


def test_the_freed_file_is_the_one_described():
    kept = freed(photograph("JPEG"), limits=LIMITS)
    assert place_read_by_pillow(kept.data) == {}
    assert kept.picture == examined(kept.data, limits=LIMITS)
    assert kept.picture.sha256 != examined(photograph("JPEG"), limits=LIMITS).sha256


@pytest.mark.parametrize("told", ["0000:00:00 00:00:00", "yesterday", "2024-05-06 07:08:09", ""])
def test_a_date_that_makes_no_sense_is_none(told):
    exif = Image.Exif()
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = told
    assert examined(saved("JPEG", exif=exif.tobytes()), limits=LIMITS).taken_at is None


def test_a_picture_without_exif_has_no_date():
    assert examined(saved("PNG"), limits=LIMITS).taken_at is None


@pytest.mark.parametrize("kind", FORMATS)
def test_one_byte_above_the_limit_is_refused(kind):
    data = saved(kind)
    assert examined(data, limits=Limits(most_bytes=len(data))).size_bytes == len(data)
    with pytest.raises(InputError, match=r"larger than the .* MB that are allowed"):
        examined(data, limits=Limits(most_bytes=len(data) - 1))


def test_an_endless_stream_is_read_only_to_the_limit():
    class Endless(io.RawIOBase):
        def read(self, size=-1):
            assert 0 < size < 10_000
            return bytes(size)

    with pytest.raises(InputError, match="larger"):
        examined(Endless(), limits=Limits(most_bytes=1000))


@pytest.mark.parametrize("kind", FORMATS)
def test_one_pixel_above_the_limit_is_refused(kind):
    data = saved(kind)
    assert examined(data, limits=Limits(most_pixels=48 * 32)).width_px == 48
    for look in (examined, freed):
        with pytest.raises(InputError, match="million pixels"):
            look(data, limits=Limits(most_pixels=48 * 32 - 1))


def bomb(width_px, height_px):
    """Return a small PNG file whose header promises a very large picture."""
    header = struct.pack(">LLBBBBB", width_px, height_px, 8, 2, 0, 0, 0)
    chunks = [(b"IHDR", header), (b"IDAT", zlib.compress(bytes(1000))), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">L", len(content))
        + name
        + content
        + struct.pack(">L", zlib.crc32(name + content))
        for name, content in chunks
    )


@pytest.mark.parametrize("side_px", [9_000, 9_500, 14_000, 60_000])
def test_a_decompression_bomb_is_refused_by_its_header(side_px):
    """Below Pillow's own warning, between its warning and its error, and above."""
    for look in (examined, freed):
        with pytest.raises(InputError, match="million pixels"):
            look(bomb(side_px, side_px), limits=LIMITS)


def test_limits_stay_below_pillows_own():
    assert Image.MAX_IMAGE_PIXELS == PILLOWS_MOST_PIXELS
    for wrong in ({"most_bytes": 0}, {"most_pixels": 0}, {"most_pixels": PILLOWS_MOST_PIXELS + 1}):
        with pytest.raises(InputError, match="limits"):
            Limits(**wrong)


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "HEIF"])
def test_of_several_pictures_the_first_is_taken_and_it_is_said(kind):
    others = [drawn().rotate(180)]
    data = saved(kind, save_all=True, append_images=others)
    picture = freed(data, limits=LIMITS).picture
    assert picture.frames == 2
    assert picture.remark == "holds 2 pictures; only the first is shown"


def test_a_jpeg_with_previews_is_one_picture():
    data = saved("MPO", save_all=True, append_images=[drawn(24, 16)])
    assert examined(data, limits=LIMITS).frames == 1


@pytest.mark.parametrize("mode", ["L", "1", "P", "LA", "RGBA", "CMYK", "I;16"])
def test_pictures_in_other_colours_are_taken(mode):
    kind = "JPEG" if mode == "CMYK" else "PNG"
    picture = Image.new("I;16", (5, 4), 40_000) if mode == "I;16" else drawn().convert(mode)
    kept = freed(saved(kind, picture), limits=LIMITS)
    assert read_back(kept.data).tobytes() == read_back(saved(kind, picture)).tobytes()


def test_a_progressive_jpeg_is_taken_whole():
    data = saved("JPEG", progressive=True)
    assert freed(data, limits=LIMITS).data == data


@pytest.mark.parametrize(
    "name", [b"infe\x02\0\0\0\0\x01\0\0hv\xf01", b"infe\x02\0\0\0\0\x01\0\0\xff\xfe\0\0"]
)
def test_a_heic_whose_names_are_no_text_is_refused_before_the_decoder_sees_it(name):
    # handed on, it ends the whole program (libheif 1.23 through pi-heif 1.4: a fault in memory)
    whole_file = saved("HEIF")
    spoilt = whole_file.replace(b"infe\x02\0\0\0\0\x01\0\0hvc1", name)
    assert spoilt != whole_file
    with pytest.raises(InputError, match="HEIC picture is damaged"):
        examined(spoilt, limits=LIMITS)
    assert examined(whole_file, limits=LIMITS).format == "HEIC"


ALPHA = b"auxC\0\0\0\0urn:mpeg:hevc:2015:auxid:1\0"
MESSAGES = b"\0\0\0\x05\x4e\x01\xb1\x09\xff\xfe\x80"
"""As telephones write them behind the name of a picture of depths (`aux_subtype`)."""


def with_alpha():
    """Return a HEIC picture that has an auxiliary one, of what shows through."""
    data = saved("HEIF", drawn().convert("RGBA"))
    assert data.count(ALPHA) == 1
    return data


def grown(data, *, after, more):
    """Return a HEIC picture with more in its property `after`, and what stands behind it moved."""
    wide, at = len(more), data.index(after) + len(after)
    found = bytearray(data[:at] + more + data[at:])
    for name in (b"meta", b"iprp", b"ipco", after[:4]):
        place = found.index(name) - 4
        found[place : place + 4] = (int.from_bytes(found[place : place + 4]) + wide).to_bytes(4)
    places = found.index(b"iloc") + 4
    assert found[places : places + 8] == b"\0\0\0\0\x44\x40\0\x02"  # two items of 18 bytes
    for base in (places + 12, places + 30):
        found[base : base + 4] = (int.from_bytes(found[base : base + 4]) + wide).to_bytes(4)
    return bytes(found)


def test_bytes_after_the_name_of_an_auxiliary_picture_are_no_name():
    # ISO/IEC 23008-12, 6.5.8: a text that ends with a zero, then bytes of any kind
    whole_file = with_alpha()
    data = grown(whole_file, after=ALPHA, more=MESSAGES)
    with pytest.raises(UnicodeDecodeError):
        MESSAGES.decode()
    assert freed(data, limits=LIMITS).picture.format == "HEIC"
    assert read_back(data).tobytes() == read_back(whole_file).tobytes()
    assert read_back(data).mode == "RGBA"


@pytest.mark.parametrize("name", [b"urn:mpeg:hevc:2015:auxid:\xff\0", b"\xfe" * 27])
def test_an_auxiliary_picture_whose_name_is_no_text_is_refused(name):
    spoilt = with_alpha().replace(ALPHA, ALPHA[:8] + name)
    assert len(spoilt) == len(with_alpha())
    with pytest.raises(InputError, match="HEIC picture is damaged"):
        examined(spoilt, limits=LIMITS)


def test_what_looks_like_a_name_in_the_middle_of_a_picture_is_none():
    whole_file = saved("HEIF")
    data = whole_file + b"\0\0\0\x14free" + b"\0\0\0\x0cauxC\xff\xfe\xff\xfe"
    assert examined(data, limits=LIMITS).format == "HEIC"


def test_a_kind_and_a_name_that_are_text_only_together_are_refused():
    whole_file = saved("HEIF")
    entry = b"infe\x02\0\0\0\0\x01\0\0hvc1"
    spoilt = whole_file.replace(entry + b"\0", entry[:-1] + b"\xc3\xa9")
    assert spoilt != whole_file
    with pytest.raises(InputError, match="HEIC picture is damaged"):
        heic.require_readable_names(spoilt)
