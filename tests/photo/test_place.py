"""The place goes, all else stays. The outside reader is Pillow (libjpeg, libwebp, libheif)."""

import io
import struct
import time
import warnings
import zlib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import ExifTags, Image, IptcImagePlugin

from sideshake.core.errors import InputError
from sideshake.photo.blocks import blanked
from sideshake.photo.intake import freed
from sideshake.photo.kinds import PictureKind
from sideshake.photo.opening import Limits
from sideshake.photo.place import BLANKING, has_position, without_place
from tests.photo.samples import (
    FORMATS,
    MAKERS_NOTE,
    TAKEN,
    drawn,
    exif_with_place,
    photograph,
    place_read_by_pillow,
    read_back,
    saved,
    segment,
    with_segments,
)

SECONDS = [struct.pack(order + "LL", 95, 4) for order in "<>"]  # 23.75" of arc, as Pillow writes it


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("kind", FORMATS)
class TestEachFormat:
    def test_the_place_was_there_and_is_gone(self, kind, order):
        data = photograph(kind, order=order)
        assert place_read_by_pillow(data)[ExifTags.GPS.GPSLatitude] == (41.0, 17.0, 23.75)
        kept = without_place(data)
        assert place_read_by_pillow(kept) == {}
        assert has_position(data)
        assert not has_position(kept)

    def test_no_byte_of_the_place_is_left(self, kind, order):
        data = photograph(kind, order=order)
        kept = without_place(data)
        for secret in (b"satellites", MAKERS_NOTE, SECONDS["<>".index(order)]):
            assert secret in data
            assert secret not in kept

    def test_the_length_stays(self, kind, order):
        data = photograph(kind, order=order)
        assert len(without_place(data)) == len(data)

    def test_the_pixels_stay(self, kind, order):
        data = photograph(kind, order=order)
        assert read_back(without_place(data)).tobytes() == read_back(data).tobytes()

    def test_date_description_and_orientation_stay(self, kind, order):
        data = photograph(kind, order=order)
        before, after = read_back(data).getexif(), read_back(without_place(data)).getexif()
        for tag in (ExifTags.Base.Orientation, ExifTags.Base.ImageDescription):
            assert after.get(tag) == before.get(tag)
        date = after.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal]
        assert date == TAKEN


@pytest.mark.parametrize("kind", FORMATS)
def test_a_picture_without_place_stays_byte_for_byte(kind):
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 3
    for data in (saved(kind), saved(kind, exif=exif.tobytes())):
        assert without_place(data) == data
        assert not has_position(data)


@pytest.mark.parametrize("kind", FORMATS)
def test_taking_the_place_out_twice_changes_nothing_more(kind):
    once = without_place(photograph(kind))
    assert without_place(once) == once


XMP = b"""<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 exif:GPSLatitude="41,17.39N" exif:GPSLongitude='0,43.49W' xmp:CreateDate="2024-05-06"
 drone:GpsLongtitude="+0.7248" photoshop:City="Elmsreach" xmp:Rating="4">
 <exif:GPSAltitude>311/1</exif:GPSAltitude><exif:GPSMapDatum/>
 <Iptc4xmpExt:LocationCreated><rdf:Bag><rdf:li Iptc4xmpExt:Sublocation="Mill Lane"/></rdf:Bag>
 </Iptc4xmpExt:LocationCreated><xmp:Label>before</xmp:Label>
</rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end="w"?>"""
TOLD = [b"41,17.39N", b"0,43.49W", b"0.7248", b"311/1", b"Elmsreach", b"Mill Lane"]
STAYS = [b"2024-05-06", b'xmp:Rating="4"', b"<xmp:Label>before</xmp:Label>"]


@pytest.mark.parametrize("kind", ["JPEG", "WEBP", "HEIF"])
def test_xmp_loses_the_place_and_nothing_else(kind):
    kept = without_place(saved(kind, xmp=XMP))
    packet = read_back(kept).info["xmp"]
    assert [word for word in TOLD if word in packet] == []
    assert [word for word in STAYS if word not in packet] == []
    assert has_position(saved(kind, xmp=XMP))
    assert not has_position(kept)


def png_with(*chunks):
    """Return a PNG file with further chunks behind its header, (name, content) each."""
    data = saved("PNG")
    written = b"".join(
        struct.pack(">L", len(content)) + name + content
        + struct.pack(">L", zlib.crc32(name + content))
        for name, content in chunks
    )  # fmt: skip
    return data[:33] + written + data[33:]


@pytest.mark.parametrize("packed", [False, True])
def test_xmp_in_png_loses_the_place(packed):
    head = b"XML:com.adobe.xmp\0" + bytes([packed]) + b"\0\0\0"
    data = png_with((b"iTXt", head + (zlib.compress(XMP) if packed else XMP)))
    packet = read_back(without_place(data)).info["xmp"]
    assert [word for word in TOLD if word in packet] == []
    assert [word for word in STAYS if word not in packet] == []
    assert has_position(data)


def raw_profile(block):
    digits = block.hex().encode()
    lines = [digits[at : at + 72] for at in range(0, len(digits), 72)]
    return b"\nexif\n" + str(len(block)).encode().rjust(8) + b"\n" + b"\n".join(lines) + b"\n"


@pytest.mark.parametrize("packed", [False, True])
def test_exif_as_text_in_png_loses_the_place_and_keeps_the_rest(packed):
    text = raw_profile(exif_with_place())
    key = b"Raw profile type exif\0"
    name, content = (
        (b"zTXt", key + b"\0" + zlib.compress(text)) if packed else (b"tEXt", key + text)
    )
    data = png_with((name, content))
    assert place_read_by_pillow(data)
    kept = without_place(data)
    assert place_read_by_pillow(kept) == {}
    assert read_back(kept).getexif()[ExifTags.Base.Orientation] == 6
    assert b"satellites".hex().encode() not in kept


@pytest.mark.parametrize(
    "chunk",
    [
        (b"tEXt", b"exif:GPSLatitude\x0041/1, 17/1"),
        (b"tEXt", b"Raw profile type exif\0\nexif\n  999\nabcd\n"),
        (b"zTXt", b"Raw profile type exif\0\0not packed at all"),
        (b"zTXt", b"Raw profile type exif\0\0" + zlib.compress(bytes(20_000_000))),
        (b"prVt", b"41.29 -0.72"),
    ],
)
def test_chunks_of_png_that_cannot_be_trusted_are_dropped(chunk):
    assert without_place(png_with(chunk)) == saved("PNG")


def test_other_texts_of_png_stay():
    data = png_with(
        (b"tEXt", b"Comment\0the dial, before"), (b"zTXt", b"T\0\0" + zlib.compress(b"x"))
    )
    assert read_back(without_place(data)).text == {"Comment": "the dial, before", "T": "x"}


def test_what_stands_behind_a_png_or_webp_is_dropped():
    for kind in ("PNG", "WEBP"):
        assert without_place(saved(kind) + exif_with_place()) == saved(kind)


def test_iptc_loses_its_place():
    fields = {5: b"the dial", 90: b"Elmsreach", 92: b"Mill Lane", 101: b"Norrland", 116: b"ours"}
    iptc = b"".join(
        b"\x1c\x02" + bytes([key]) + struct.pack(">H", len(text)) + text
        for key, text in fields.items()
    )
    block = b"Photoshop 3.0\x008BIM\x04\x04\0\0" + struct.pack(">L", len(iptc)) + iptc
    kept = without_place(with_segments(saved("JPEG"), segment(0xED, block)))
    told = IptcImagePlugin.getiptcinfo(read_back(kept))
    assert {key[1]: text.strip() for key, text in told.items()} == {
        5: b"the dial", 90: b"", 92: b"", 101: b"", 116: b"ours",
    }  # fmt: skip


def test_exif_inside_photoshop_resources_loses_the_place():
    block = b"Photoshop 3.0\x008BIM\x04\x22\0\0\0\0\x01\0" + exif_with_place()[6:]
    data = with_segments(saved("JPEG"), segment(0xED, block))
    assert b"satellites" not in without_place(data)


def test_the_long_xmp_of_jpeg_loses_a_place_that_is_cut_by_a_segment():
    cut = XMP.index(b"GPSLatitude") + 5
    head = b"http://ns.adobe.com/xmp/extension/\0" + b"A" * 32 + struct.pack(">L", len(XMP))
    first = segment(0xE1, head + struct.pack(">L", 0) + XMP[:cut])
    second = segment(0xE1, head + struct.pack(">L", cut) + XMP[cut:])
    for order in ((first, second), (second, first)):
        kept = without_place(with_segments(saved("JPEG"), *order))
        assert [word for word in TOLD if word in kept] == []
        assert STAYS[2] in kept


def test_exif_cut_into_two_segments_loses_the_place():
    exif = exif_with_place()
    cut = exif.index(b"satellites") - 60
    pieces = [segment(0xE1, b"Exif\0\0" + part) for part in (exif[6:cut], exif[cut:])]
    data = with_segments(saved("JPEG"), *pieces)
    assert place_read_by_pillow(data)
    kept = without_place(data)
    assert place_read_by_pillow(kept) == {}
    assert b"satellites" not in kept


def test_a_second_exif_loses_the_place_too():
    exif = segment(0xE1, exif_with_place())
    kept = without_place(with_segments(saved("JPEG"), exif, exif))
    assert b"satellites" not in kept


def test_a_thumbnail_inside_exif_loses_its_own_place():
    inner = photograph("JPEG", order=">")
    exif = Image.Exif()
    exif[ExifTags.Base.ImageDescription] = "x"
    block = exif.tobytes() + inner
    data = saved("JPEG", exif=block)
    assert b"satellites" in data
    kept = without_place(data)
    assert b"satellites" not in kept
    at = kept.index(b"\xff\xd8", 2)
    assert read_back(kept[at : at + len(inner)]).tobytes() == read_back(inner).tobytes()


def test_a_second_picture_behind_the_first_is_kept_without_its_place():
    stream = io.BytesIO()
    first, second = drawn(), drawn(24, 16)
    second.encoderinfo = {"exif": exif_with_place()}
    first.save(
        stream, "MPO", save_all=True, append_images=[second], exif=exif_with_place(order=">")
    )
    data = stream.getvalue()
    assert data.count(b"satellites") == 2
    kept = without_place(data)
    assert len(kept) == len(data)
    assert b"satellites" not in kept
    before, after = read_back(data), read_back(kept)
    for frame in (0, 1):
        before.seek(frame)
        after.seek(frame)
        assert after.tobytes() == before.tobytes()
        assert not after.getexif().get_ifd(ExifTags.IFD.GPSInfo)


def test_a_film_behind_a_jpeg_is_taken_away():
    film = b"\0\0\0\x18ftypmp42\0\0\0\0mp42isom\0\0\0\x20udta\0\0\0\x18\xa9xyz+41.29-000.72/"
    assert without_place(saved("JPEG") + film) == saved("JPEG")
    assert has_position(saved("JPEG") + film)


def test_a_place_in_sixteen_bit_letters_is_blanked_with_its_packet():
    kept = without_place(saved("WEBP", xmp=XMP.decode().encode("utf-16-le")))
    assert "41,17".encode("utf-16-le") not in kept


def test_xmp_that_is_not_well_formed_is_blanked_whole():
    broken = XMP.replace(b'exif:GPSLatitude="41,17.39N"', b'exif:GPSLatitude="41,17.39N')
    kept = without_place(saved("WEBP", xmp=broken))
    assert b"41,17.39N" not in kept


def tiff(order, entries, *, behind=b"", following=0):
    """Return a TIFF block of one directory at 8; entries are (tag, type, count, value)."""
    head = (b"II*\0" if order == "<" else b"MM\0*") + struct.pack(order + "L", 8)
    body = b"".join(struct.pack(order + "HHLL", *entry) for entry in entries)
    return head + struct.pack(order + "H", len(entries)) + body + struct.pack(
        order + "L", following
    ) + behind  # fmt: skip


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize(
    ("entries", "following"),
    [
        ([(0x8825, 4, 1, 8)], 0),
        ([(0x8825, 4, 1, 0xFFFFFFF0)], 0),
        ([(0x8825, 7, 0xFFFFFFFF, 0xFFFFFFFF)], 0),
        ([(0x8769, 4, 1, 8)], 8),
        ([(0x014A, 4, 0xFFFFFFFF, 9)], 8),
        ([(0x8769, 4, 1, 8), (0x8825, 13, 1, 26)], 20),
        ([(0x9999, 99, 5, 3)], 0xFFFFFFFF),
    ],
)
def test_nonsense_in_exif_neither_crashes_nor_turns_in_circles(order, entries, following):
    block = tiff(order, entries, following=following)
    for kind in FORMATS:
        kept = freed(saved(kind, exif=b"Exif\0\0" + block), limits=Limits())
        assert place_pillow_may_find(kept.data) == {}


def place_pillow_may_find(data):
    """Return what Pillow finds, nothing where it gives up on the block."""
    try:
        return place_read_by_pillow(data)
    except (OSError, SyntaxError, ValueError, KeyError, UserWarning, struct.error):
        return {}


def test_a_block_made_to_waste_time_is_emptied():
    headers = b"MM\0*\0\0\0\x08" * 20_000
    kept = without_place(saved("WEBP", exif=b"Exif\0\0" + headers))
    assert b"MM\0*" not in kept


def test_the_other_tiff_headers_that_lenient_readers_take_are_emptied_or_blanked():
    for header in (b"II\0*", b"II+\0"):
        block = b"Exif\0\0" + header + exif_with_place()[10:]
        kept = without_place(saved("JPEG", exif=block))
        assert b"satellites" not in kept


@pytest.mark.parametrize("kind", FORMATS)
def test_a_file_cut_anywhere_is_refused(kind):
    """Every length; only padding at the very end may be missed by nobody."""
    data = photograph(kind)
    for length in range(0, len(data), 7):
        with pytest.raises(InputError):
            freed(data[:length], limits=Limits())


SAMPLES = {
    kind: photograph(kind, xmp=XMP) if kind != "PNG" else photograph(kind) for kind in FORMATS
}


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(FORMATS), st.data())
def test_flipped_bytes_give_a_refusal_or_a_picture_without_place(kind, data):
    damaged = bytearray(SAMPLES[kind])
    anywhere = st.integers(0, len(damaged) - 1)
    words = st.integers(0, min(900, len(damaged) - 1))
    for at in data.draw(st.lists(words | anywhere, min_size=1, max_size=8)):
        damaged[at] = data.draw(st.integers(0, 255))
    try:
        kept = freed(bytes(damaged), limits=Limits())
    except InputError:
        return
    assert not has_position(kept.data)
    assert place_pillow_may_find(kept.data) == {}


@settings(max_examples=150)
@given(st.binary(max_size=400), st.sampled_from(["II*\0", "MM\0*"]))
def test_any_bytes_as_exif_are_borne(block, header):
    data = with_segments(saved("JPEG"), segment(0xE1, b"Exif\0\0" + header.encode() + block))
    kept = freed(data, limits=Limits())
    assert read_back_pixels(kept.data) == read_back_pixels(data)


def read_back_pixels(data):
    """Return the pixels; badly written words draw warnings that do not matter here."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return read_back(data).tobytes()


@given(st.binary(max_size=200))
def test_any_bytes_behind_a_signature_are_refused(rest):
    for head in (
        b"\xff\xd8\xff",
        b"\x89PNG\r\n\x1a\n",
        b"RIFF\0\0\0\0WEBP",
        b"\0\0\0\x10ftypheic\0\0\0\0",
    ):
        with pytest.raises(InputError):
            freed(head + rest, limits=Limits())


def test_each_kind_has_its_way():
    assert set(BLANKING) == set(PictureKind)


@pytest.mark.parametrize(
    "block",
    [
        b"rdf" + b"<a:gps " * 100_000,
        b"rdf" + b"a:" * 300_000,
        b"II*\0\x08\0\0\0" * 60_000,
        b"II*\0\x08\0\0\0\xff\xff" + struct.pack("<HHLL", 0x8825, 4, 1, 8) * 65_535,
        b"II*\0\x08\0\0\0\xff\xff" + struct.pack("<HHLL", 0x8769, 4, 1, 9) * 65_535,
    ],
)
def test_words_made_to_waste_time_waste_little(block):
    started_s = time.process_time()
    blanked(block)
    assert time.process_time() - started_s < 5  # generous: what grows with the square takes minutes
