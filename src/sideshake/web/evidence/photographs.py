"""Photographs: taken in, kept under a name made from their content, shown in two smaller sizes."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.storage.files import stream_to_disk, write_whole
from sideshake.storage.folder import made
from sideshake.web.base.holding import hold_visits, hold_workshop
from sideshake.web.base.putting_aside import piece, put_aside
from sideshake.web.base.saving import save
from sideshake.web.models import Photograph, Removed, User, Visit
from sideshake.web.storage.stored_files import PHOTOGRAPHS, stored_file

if TYPE_CHECKING:
    from sideshake.photo.intake import KeptPhotograph
    from sideshake.photo.opening import Limits

MOST_MARK_LETTERS = 300
SIZES = ("small", "large")


@dataclass(frozen=True, slots=True, kw_only=True)
class UploadsTakenIn:
    """What came of several uploads: how many are kept, and a sentence about each other one."""

    kept: int
    remarks: list[str]
    refused: list[str]


def limits() -> "Limits":
    """Return how large a photograph may be here."""
    from sideshake.photo.opening import Limits  # late: it loads what opens pictures

    return Limits(
        most_bytes=settings.MOST_PHOTOGRAPH_BYTES, most_pixels=settings.MOST_PHOTOGRAPH_PIXELS
    )


def take_in(visit: Visit, uploads: "Iterable[UploadedFile[Any]]", by: User) -> UploadsTakenIn:
    """Return what came of uploads; a refused one keeps no other from being stored."""
    from sideshake.photo.intake import freed  # late: it loads what opens pictures

    kept, remarks, refused = 0, [], []
    for upload in uploads:
        name = Path(upload.name or "?").name
        try:
            photograph = freed(Path(upload.temporary_file_path()), limits=limits())  # type: ignore[attr-defined]
            keep(visit, photograph, by)
        except InputError as error:
            refused.append(f"{name}: {error}")
            continue
        kept += 1
        if photograph.picture.remark:
            remarks.append(f"{name}: {photograph.picture.remark}")
    return UploadsTakenIn(kept=kept, remarks=remarks, refused=refused)


def keep(visit: Visit, kept: "KeptPhotograph", by: User | None, *, caption: str = "") -> Photograph:
    """Return a photograph's row; its files are on the disk before the row is written.

    Raises
    ------
    InputError : the same picture is already at this visit
    """
    picture = kept.picture
    require_new(visit, picture.sha256)
    path = store_files(kept)
    with transaction.atomic():
        hold_workshop()  # until the row is written nobody deletes the file
        if not path.exists():  # its last other use has just gone
            store_files(kept)
        hold_visits([visit.pk])
        require_new(visit, picture.sha256)
        photograph = Photograph(
            visit=visit,
            stored=path.name,
            sha256=picture.sha256,
            format=picture.format[:8],
            bytes=picture.size_bytes,
            width_px=picture.width_px,
            height_px=picture.height_px,
            taken_at=aware(picture.taken_at),
            caption=caption[:200],
            place=next_place(visit),
        )
        save(photograph, by)
    return photograph


def require_new(visit: Visit, sha256: str) -> None:
    """Refuse a picture that is at the visit already.

    Raises
    ------
    InputError : it is
    """
    if Photograph.objects.filter(visit=visit, sha256=sha256).exists():
        raise InputError(_("this picture is already at the visit; it was not stored twice"))


def store_files(kept: "KeptPhotograph") -> Path:
    """Return where the original lies; the two smaller copies lie beside it."""
    large = copy_of(kept.data, "large")
    small = copy_of(large, "small")
    folder = made(Path(settings.FILES) / PHOTOGRAPHS)
    original = stream_to_disk(
        [kept.data],
        folder,
        limit_bytes=settings.MOST_PHOTOGRAPH_BYTES,
        judge=lambda _path: kept.picture.extension,
    ).path
    write_copy(original, "large", large)
    write_copy(original, "small", small)
    return original


def write_copy(original: Path, size: str, data: bytes) -> None:
    """Write one smaller copy, whole or not at all."""
    write_whole(copy_path(original, size), data)


def copy_path(original: Path, size: str) -> Path:
    """Return where a smaller copy lies."""
    return original.with_name(f"{original.stem}-{size}.jpg")


def file_of(photograph: Photograph, size: str) -> Path:
    """Return the file of a photograph in one size; a copy that is missing is made again.

    Raises
    ------
    InputError : there is no such size, or the original is gone
    """
    original = stored_file(PHOTOGRAPHS, photograph.stored)
    if not original.exists():
        raise InputError(_("the file of this photograph is not in the data folder"))
    if size == "original":
        return original
    if size not in SIZES:
        raise InputError(_("a photograph is shown small, large or original"))
    path = copy_path(original, size)
    if not path.exists():
        write_copy(original, size, copy_of(original, size))
    return path


def copy_of(picture: Path | bytes, size: str) -> bytes:
    """Return a picture in one of the smaller sizes."""
    from sideshake.photo.thumbnail import LARGE_PX, SMALL_PX, shown  # late: it opens pictures

    longest_px = LARGE_PX if size == "large" else SMALL_PX
    return shown(picture, longest_px=longest_px, limits=limits())


def aware(taken_at: Any) -> Any:
    """Return the camera's time in the workshop's zone."""
    return timezone.make_aware(taken_at) if taken_at else None


def next_place(visit: Visit) -> int:
    """Return the place after the visit's last photograph."""
    last = Photograph.objects.filter(visit=visit).aggregate(last=Max("place"))["last"]
    return 0 if last is None else int(last) + 1


@transaction.atomic
def shift(photograph: Photograph, way: int, by: User) -> None:
    """Move a photograph one place earlier (-1) or later (1)."""
    row = list(Photograph.objects.filter(visit=photograph.visit))
    at = next(i for i, each in enumerate(row) if each.pk == photograph.pk)
    to = min(max(at + way, 0), len(row) - 1)
    row.insert(to, row.pop(at))
    for place, each in enumerate(row):
        if each.place != place:
            each.place = place
            save(each, by, what=f"photographs in another order: {each}")


def remove_files(original: Path) -> None:
    """Remove a photograph's file and its smaller copies."""
    for path in (original, *(copy_path(original, size) for size in SIZES)):
        path.unlink(missing_ok=True)


def point(across: float, down: float, text: str, *, grave: bool) -> dict[str, Any]:
    """Return a point on a photograph as it is kept.

    Raises
    ------
    InputError : it lies outside the picture, or says nothing
    """
    if not (0 <= across <= 1 and 0 <= down <= 1):
        raise InputError(_("the point lies outside the picture: 0 to 100 % across and down"))
    if not text.strip():
        raise InputError(_("write what is at this point"))
    place = {"across": round(across, 4), "down": round(down, 4)}
    return {**place, "text": text.strip()[:MOST_MARK_LETTERS], "grave": grave}


def write_points(photograph: Photograph, by: User, *, seen: int | None = None) -> None:
    """Write the points of a photograph."""
    save(photograph, by, seen=seen, what=f"points on {photograph}")


@transaction.atomic
def take_point_off(
    photograph: Photograph, by: User, *, place: int, seen: int | None = None
) -> Removed:
    """Return the point that was put aside; the photograph has the others."""
    held = piece(photograph, "marks", place)
    called = str(photograph.marks[place]["text"])
    photograph.marks = [each for at, each in enumerate(photograph.marks) if at != place]
    write_points(photograph, by, seen=seen)
    what = _("point on %(where)s: %(what)s") % {"where": photograph, "what": called}
    return put_aside(photograph, by, held, what=what)


@transaction.atomic
def write_caption(photograph: Photograph, by: User, *, seen: int | None = None) -> None:
    """Write what a photograph shows; of a visit's photographs one opens the report."""
    save(photograph, by, seen=seen)
    if photograph.opens_report:
        rows = Photograph.objects.filter(visit=photograph.visit, opens_report=True)
        for other in rows.exclude(pk=photograph.pk):
            other.opens_report = False
            save(other, by)
