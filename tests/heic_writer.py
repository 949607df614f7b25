"""HEIC pictures for the tests, written by pillow-heif in a process of its own.

The program reads them with pi-heif; the two bring the same library and cannot live in one process.
"""

import atexit
import functools
import io
import multiprocessing
from concurrent.futures import ProcessPoolExecutor

from PIL import Image


def heic(picture: Image.Image, **options) -> bytes:
    """Return the file of a picture as HEIC."""
    return _writer().submit(_written, picture, options).result(timeout=60)


@functools.cache
def _writer() -> ProcessPoolExecutor:
    process = ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn"))
    atexit.register(process.shutdown)
    return process


def _written(picture: Image.Image, options) -> bytes:
    import pillow_heif

    pillow_heif.register_heif_opener()
    stream = io.BytesIO()
    picture.save(stream, "HEIF", **options)
    return stream.getvalue()
