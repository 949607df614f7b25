"""Read what was measured, and what a workshop has, from a TOML file or one that is shipped."""

import tomllib
from importlib.resources import files
from pathlib import Path
from typing import Any

from sideshake.core.errors import InputError
from sideshake.fit.workshop import WorkshopTools
from sideshake.movement.lines import WrittenFigure
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_at
from sideshake.movement.written import checked, laid_over
from sideshake.wear.measurements import Measurements

ENDING = ".toml"


def measurements_at(place: str | None, changes: dict[str, Any]) -> Measurements:
    """Return the measurements in a file, or shipped under that name, with the options laid over.

    Raises
    ------
    InputError : there is no such file, or a line has a fault
    """
    written = toml_at(place, "sideshake.wear") if place else {}
    return checked(Measurements, laid_over(written, changes), place or "the options")


def workshop_at(place: str) -> WorkshopTools:
    """Return the workshop in a file, or shipped under that name."""
    return checked(WorkshopTools, toml_at(place, "sideshake.fit"), place)


def toml_at(place: str, package: str) -> dict[str, Any]:
    """Return the tree of a TOML file, or of the example of that name in a package."""
    path = Path(place)
    shipped = files(package) / "examples"
    names = sorted(each.name.removesuffix(ENDING) for each in shipped.iterdir())
    try:
        source = path if path.is_file() else shipped / f"{place}{ENDING}"
        return tomllib.loads(source.read_text(encoding="utf-8"), parse_float=WrittenFigure)
    except FileNotFoundError:
        known = ", ".join(names)
        raise InputError(f"there is no file {place}; shipped by name: {known}") from None
    except OSError as error:
        raise InputError(f"cannot read {place}: {error.strerror}") from None
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{place} is not valid TOML: {error}") from None
    except UnicodeDecodeError as error:
        raise InputError(f"{place} is not a UTF-8 text: {error.reason}") from None


def calibre_of(sheet: str | None, found: Measurements) -> CalibreSheet:
    """Return the calibre named on the command line, else in the measurements.

    Raises
    ------
    InputError : neither names one, or they name two different ones
    """
    place = sheet or found.calibre
    if not place:
        raise InputError("name a calibre sheet, or measurements that name one")
    calibre = sheet_at(place)
    if sheet and found.calibre and sheet != found.calibre:
        named = sheet_at(found.calibre).name
        if named != calibre.name:
            raise InputError(
                f"the sheet {sheet} is of {calibre.name}, but the measurements say {named}"
            )
    return calibre
