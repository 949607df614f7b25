"""The workshop's logo: taken in, kept under a name made from its content, removed."""

import hashlib
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.storage.files import NAME_LETTERS, write_whole
from sideshake.storage.folder import made
from sideshake.web.base.holding import hold_workshop
from sideshake.web.base.putting_aside import link, put_aside
from sideshake.web.base.saving import save
from sideshake.web.evidence.photographs import limits
from sideshake.web.models import Removed, User, Workshop
from sideshake.web.storage.stored_files import LOGO, stored_file


def put_on(shop: Workshop, upload: "UploadedFile[Any]", by: User, *, seen: int | None) -> None:
    """Keep an uploaded picture as the workshop's logo; the one before is put aside.

    Raises
    ------
    InputError : it is no PNG or JPEG, damaged, too large, or an SVG drawing
    """
    from sideshake.photo.logo import SVG_SEEN_WITHIN, is_svg, logo_copy  # late: it opens pictures

    path = Path(upload.temporary_file_path())  # type: ignore[attr-defined] # always on the disk
    with path.open("rb") as file:
        if is_svg(file.read(SVG_SEEN_WITHIN)):
            raise InputError(
                _(
                    "an SVG drawing can carry script and links and is not taken as a logo; save "
                    "it as PNG, about 1500 pixels wide, and give that"
                )
            )
    data = logo_copy(path, limits=limits())
    name = f"{hashlib.sha256(data).hexdigest()[:NAME_LETTERS]}.png"
    with transaction.atomic():
        hold_workshop()  # until the row is written nobody deletes the file
        write_whole(made(Path(settings.FILES) / LOGO) / name, data)
        change(shop, name, by, seen=seen)


def take_off(shop: Workshop, by: User, *, seen: int | None) -> Removed | None:
    """Return the logo that was put aside; papers then have the workshop's name alone."""
    return change(shop, "", by, seen=seen)


@transaction.atomic
def change(shop: Workshop, name: str, by: User, *, seen: int | None) -> Removed | None:
    """Write which file is the logo, and return the one before, put aside if there was one."""
    before = link(shop, "logo")
    shop.logo = name
    what = _("new logo on all papers") if name else _("no logo on papers any more")
    save(shop, by, seen=seen, what=what)
    if before["value"] in ("", name):
        return None
    return put_aside(shop, by, {"links": [before]}, what=_("the logo on papers"), kind="logo")


def logo_bytes(shop: Workshop) -> bytes | None:
    """Return the logo's PNG; None when there is none or its file is gone."""
    path = stored_file(LOGO, shop.logo)
    return path.read_bytes() if shop.logo and path.is_file() else None
