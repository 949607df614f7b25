"""Files given out, whole or the part a player asks for."""

import mimetypes
import re
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from django.http import FileResponse, HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase

from sideshake.drawings.shapes import Drawing
from sideshake.drawings.svg import svg_text

BLOCK_BYTES = 256 * 1024
ONE_RANGE = re.compile(r"bytes=(\d*)-(\d*)$")


def given_out(request: HttpRequest, path: Path) -> HttpResponseBase:
    """Return a file, or one part of it (RFC 9110, section 14)."""
    kind = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
    if part_asked(request) is None:
        whole = FileResponse(path.open("rb"), content_type=kind)
        whole.headers["Accept-Ranges"] = "bytes"
        return whole
    return one_part(request, path.open("rb"), path.stat().st_size, kind=kind)


def part_given_out(request: HttpRequest, data: bytes, *, kind: str) -> HttpResponseBase:
    """Return what was made just now, or one part of it."""
    if part_asked(request) is None:
        headers = {"Accept-Ranges": "bytes"}
        return HttpResponse(data, content_type=kind, headers=headers)
    return one_part(request, BytesIO(data), len(data), kind=kind)


def part_asked(request: HttpRequest) -> re.Match[str] | None:
    """Return the one part asked for; None when the whole is wanted."""
    asked = ONE_RANGE.match(request.headers.get("Range", ""))
    return None if asked is None or asked.groups() == ("", "") else asked


def one_part(request: HttpRequest, file: BinaryIO, size: int, *, kind: str) -> HttpResponseBase:
    """Return the part asked for, or that there is no such part."""
    asked = part_asked(request)
    first, last = asked_part(asked, size) if asked else (0, size - 1)
    if first > last:
        file.close()
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{size}"})
    part = StreamingHttpResponse(FilePart(file, first, last), status=206)
    part.headers["Content-Type"] = kind
    part.headers["Content-Length"] = str(last - first + 1)
    part.headers["Content-Range"] = f"bytes {first}-{last}/{size}"
    part.headers["Accept-Ranges"] = "bytes"
    return part


def asked_part(asked: re.Match[str], size: int) -> tuple[int, int]:
    """Return the first and last byte asked for; first lies behind last when there is nothing."""
    start, end = asked.groups()
    if not start:
        return max(0, size - int(end)), size - 1
    return int(start), min(int(end), size - 1) if end else size - 1


@dataclass(frozen=True, slots=True)
class FilePart:
    """The bytes of a file from first to last; the file is closed also when nobody reads them."""

    file: BinaryIO
    first: int
    last: int

    def __iter__(self) -> Iterator[bytes]:
        """Yield the bytes, a block at a time."""
        self.file.seek(self.first)
        left = self.last - self.first + 1
        while left > 0 and (block := self.file.read(min(BLOCK_BYTES, left))):
            left -= len(block)
            yield block

    def close(self) -> None:
        """Close the file; Django asks for it when the answer is done with."""
        self.file.close()


def as_picture(drawing: Drawing) -> HttpResponse:
    """Return a drawing as a picture of its own."""
    return HttpResponse(svg_text(drawing), content_type="image/svg+xml")
