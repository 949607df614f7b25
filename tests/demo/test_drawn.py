"""The drawn photographs: whole, different, the same each time."""

import io
import typing
import xml.etree.ElementTree as ET

import pytest
from PIL import Image

from sideshake.demo.drawn.letters import GLYPHS, width_of, writing
from sideshake.demo.drawn.photographs import photograph, svg_of
from sideshake.demo.shelf import the_watches
from sideshake.demo.visit import Picture

WATCHES = {each.key: each for each in the_watches()}
PICTURES = typing.get_args(Picture)


@pytest.mark.parametrize("what", PICTURES)
def test_every_picture_of_every_watch_is_well_formed(what):
    for watch in WATCHES.values():
        root = ET.fromstring(svg_of(what, watch, key="a visit"))
        assert len(list(root.iter())) > 50
        assert "nan" not in svg_of(what, watch, key="a visit")


def test_no_two_watches_look_alike():
    drawn = {svg_of("dial", each, key="") for each in WATCHES.values()}
    assert len(drawn) == len(WATCHES)


def test_no_picture_holds_text_that_would_need_a_font():
    assert "<text" not in "".join(svg_of(each, WATCHES["expedition"], key="") for each in PICTURES)


def test_a_photograph_is_a_jpeg_of_its_size():
    made = photograph("dial", WATCHES["expedition"], key="a visit")
    with Image.open(io.BytesIO(made.data)) as opened:
        assert opened.format == "JPEG"
        assert opened.size == (made.width_px, made.height_px)


def test_the_same_key_gives_the_same_bytes_and_another_key_others():
    one = photograph("parcel", WATCHES["expedition"], key="a")
    assert one == photograph("parcel", WATCHES["expedition"], key="a")
    assert one != photograph("parcel", WATCHES["expedition"], key="b")


def test_every_letter_of_a_dial_can_be_drawn():
    for watch in WATCHES.values():
        assert all(each.upper() in GLYPHS for each in watch.dial_name), watch.dial_name


def test_writing_grows_with_its_letters():
    assert width_of("II") < width_of("III")
    assert writing("A", (0, 0), height=10, colour="#000").count("<path") == 1
