"""What a file is, told by its content."""

import io

import pytest
from PIL import Image

from sideshake.core.errors import InputError
from sideshake.photo.kinds import PictureKind, kind_of
from tests.photo.samples import FORMATS, drawn, saved


@pytest.mark.parametrize("kind", FORMATS)
def test_pillows_files_are_recognised(kind):
    assert kind_of(saved(kind)) is PictureKind(kind)


def test_each_kind_has_its_ending():
    assert [kind.extension for kind in PictureKind] == [".jpg", ".png", ".webp", ".heic"]


@pytest.mark.parametrize("kind", ["GIF", "BMP", "TIFF", "PDF", "AVIF", "ICO", "PPM"])
def test_other_kinds_of_picture_are_refused(kind):
    stream = io.BytesIO()
    drawn().save(stream, kind)
    with pytest.raises(InputError, match="JPEG, PNG, WebP and HEIC are kept"):
        kind_of(stream.getvalue())


@pytest.mark.parametrize(
    "data",
    [b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"\xff\xd8", b"RIFF\0\0\0\0WAVE", b"\0" * 64],
)
def test_what_is_no_picture_is_refused(data):
    with pytest.raises(InputError, match="not a picture"):
        kind_of(data)


def test_an_empty_file_is_called_empty():
    with pytest.raises(InputError, match="0 bytes"):
        kind_of(b"")


def test_a_shared_brand_needs_heic_in_its_list():
    assert kind_of(b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic") is PictureKind.HEIC
    with pytest.raises(InputError):
        kind_of(b"\0\0\0\x18ftypmif1\0\0\0\0mif1avif")


def test_pillow_agrees_on_the_kind():
    for kind in FORMATS:
        assert Image.open(io.BytesIO(saved(kind))).format == kind_of(saved(kind)).value
