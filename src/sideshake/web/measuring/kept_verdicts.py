"""Verdicts kept on the disk: what one process has reckoned the next one does not reckon again.

A verdict is drawn tens of thousands of times and takes longer than a paper to set. It is kept under
a name made from the sheet, the sizes and the code that reckons, so that none of them goes stale.
The folder is no record: it is in no backup, and whoever removes it loses nothing but time.
"""

import hashlib
import shutil
from collections.abc import Callable
from contextlib import suppress
from functools import cache, lru_cache
from pathlib import Path

import numpy as np
from django.conf import settings
from pydantic import TypeAdapter, ValidationError

import sideshake
from sideshake.analysis.barrel import BarrelJudged
from sideshake.core.errors import InputError
from sideshake.movement.sheet import CalibreSheet
from sideshake.storage.files import NAME_LETTERS, write_whole
from sideshake.storage.folder import made

FOLDER = "verdicts"
RECKONS = ("analysis", "wear", "movement", "wording", "core")
"""What a verdict depends on besides sheet and sizes; and on numpy, whose draws may change."""


def judged_once(
    sheet: CalibreSheet, sizes: tuple[object, ...], reckon: Callable[[], BarrelJudged]
) -> BarrelJudged:
    """Return what was reckoned of these sizes before, or else now; it is kept then."""
    path = place_of(sheet, sizes)
    found = read(path)
    if found is None:
        found = reckon()
        keep(path, found)
    return found


def place_of(sheet: CalibreSheet, sizes: tuple[object, ...]) -> Path:
    """Return where a verdict is kept."""
    told = hashlib.sha256(repr((sheet, sizes)).encode()).hexdigest()
    return Path(settings.DATA) / FOLDER / code_told() / f"{told[:NAME_LETTERS]}.json"


def read(path: Path) -> BarrelJudged | None:
    """Return what is kept at a place; None when nothing is there, or it is damaged."""
    try:
        return adapter().validate_json(path.read_bytes())
    except (OSError, ValidationError, InputError):
        return None


def keep(path: Path, found: BarrelJudged) -> None:
    """Keep a verdict, and clear away those of an earlier code; without room it is not kept."""
    with suppress(OSError, InputError):
        for old in path.parent.parent.glob("*"):
            if old != path.parent:
                shutil.rmtree(old, ignore_errors=True)
        write_whole(made(path.parent) / path.name, adapter().dump_json(found))


@cache
def adapter() -> TypeAdapter[BarrelJudged]:
    """Return what writes and reads a verdict as JSON."""
    return TypeAdapter(BarrelJudged)


@lru_cache(maxsize=1)
def code_told() -> str:
    """Return a name for the code that reckons verdicts: its SHA-256."""
    told = hashlib.sha256(np.__version__.encode())
    root = Path(sideshake.__file__).parent
    for name in RECKONS:
        place = root / name
        for path in sorted(place.rglob("*.py")) if place.is_dir() else [place]:
            told.update(path.read_bytes())
    return told.hexdigest()[:NAME_LETTERS]
