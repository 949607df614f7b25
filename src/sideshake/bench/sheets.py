"""The calibre sheets at hand: those that come with the program, and the workshop's own."""

from functools import lru_cache
from pathlib import Path

from django.conf import settings

from sideshake.errors import InputError
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_at, shipped_names

OWN = "calibres"
"""The folder in the workshop's data in which its own sheets lie, as NAME.toml."""


def sheet_names() -> list[str]:
    """Return the names of all sheets, the workshop's own first."""
    own = sorted(path.stem for path in own_folder().glob("*.toml"))
    return [*own, *(name for name in shipped_names() if name not in own)]


def sheet_named(name: str) -> CalibreSheet | None:
    """Return a sheet by its name; None when there is none, or the workshop's own has a fault."""
    if not name or name not in sheet_names():
        return None
    own = own_folder() / f"{name}.toml"
    try:
        return read_sheet(str(own), own.stat().st_mtime_ns) if own.exists() else read_sheet(name, 0)
    except InputError:
        return None


@lru_cache(maxsize=64)
def read_sheet(place: str, _changed_ns: int) -> CalibreSheet:
    """Return a sheet, read once for as long as its file stays the same."""
    return sheet_at(place)


def own_folder() -> Path:
    """Return where the workshop's own sheets lie."""
    return Path(settings.DATA) / OWN
