"""Photographs made here by Pillow and `heic_writer`, with a place in them to be taken out."""

import io
import struct

import numpy as np
import pi_heif
from heic_writer import heic
from PIL import ExifTags, Image

pi_heif.register_heif_opener()  # the readers here open HEIC as the program does

FORMATS = ["JPEG", "PNG", "WEBP", "HEIF"]
TAKEN = "2024:05:06 07:08:09"
MAKERS_NOTE = b"the maker wrote the place here too"


def drawn(width_px=48, height_px=32):
    """Return a picture with four corners of different colours and a grain between."""
    rng = np.random.default_rng(7)
    pixels = rng.integers(90, 160, (height_px, width_px, 3), dtype=np.uint8)
    half_y, half_x = height_px // 2, width_px // 2
    pixels[:half_y, :half_x, 0] = 250
    pixels[:half_y, half_x:, 1] = 250
    pixels[half_y:, :half_x, 2] = 250
    return Image.fromarray(pixels)


def exif_with_place(*, order="<", turned=6):
    """Return an EXIF block that tells place, date, orientation and a maker's note."""
    exif = Image.Exif()
    exif.endian = order
    exif[ExifTags.Base.Orientation] = turned
    exif[ExifTags.Base.ImageDescription] = "the dial, before"
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = TAKEN
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.MakerNote] = MAKERS_NOTE
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef] = "N"
    place[ExifTags.GPS.GPSLatitude] = (41.0, 17.0, 23.75)
    place[ExifTags.GPS.GPSLongitudeRef] = "W"
    place[ExifTags.GPS.GPSLongitude] = (0.0, 43.0, 29.5)
    place[ExifTags.GPS.GPSProcessingMethod] = b"ASCII\0\0\0satellites"
    return exif.tobytes()


def saved(kind, picture=None, **options):
    """Return the file of a picture."""
    if kind == "HEIF":
        return heic(picture or drawn(), **options)
    stream = io.BytesIO()
    if kind == "WEBP":
        options.setdefault("lossless", True)
    (picture or drawn()).save(stream, kind, **options)
    return stream.getvalue()


def photograph(kind, *, order="<", turned=6, **options):
    """Return the file of a picture that tells where it was taken."""
    return saved(kind, exif=exif_with_place(order=order, turned=turned), **options)


def read_back(data):
    """Return the picture as Pillow reads it, all of it."""
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


def place_read_by_pillow(data):
    """Return the position that Pillow finds in EXIF."""
    return dict(read_back(data).getexif().get_ifd(ExifTags.IFD.GPSInfo))


def segment(marker, content):
    """Return a JPEG marker segment."""
    return bytes([0xFF, marker]) + struct.pack(">H", len(content) + 2) + content


def with_segments(data, *segments):
    """Return a JPEG file with further segments right behind its start."""
    return data[:2] + b"".join(segments) + data[2:]
