"""Read what was measured, and what a workshop has, from a TOML file or one that is shipped."""

import tomllib
from importlib.resources import files
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from sideshake.errors import InputError
from sideshake.fit.workshop import Workshop
from sideshake.movement.sheet import Section
from sideshake.wear.measurements import Measurements

ENDING = ".toml"
Read = TypeVar("Read", bound=Section)


def measurements_at(place: str | None, changes: dict[str, Any]) -> Measurements:
    """Return the measurements in a file, or shipped under that name, with the options laid over.

    Raises
    ------
    InputError : there is no such file, or a line has a fault
    """
    written = toml_at(place, "sideshake.wear") if place else {}
    return checked(Measurements, laid_over(written, changes), place or "the options")


def workshop_at(place: str) -> Workshop:
    """Return the workshop in a file, or shipped under that name."""
    return checked(Workshop, toml_at(place, "sideshake.fit"), place)


def toml_at(place: str, package: str) -> dict[str, Any]:
    """Return the tree of a TOML file, or of the example of that name in a package."""
    path = Path(place)
    shipped = files(package) / "examples"
    names = sorted(each.name.removesuffix(ENDING) for each in shipped.iterdir())
    try:
        source = path if path.is_file() else shipped / f"{place}{ENDING}"
        return tomllib.loads(source.read_text(encoding="utf-8"))
    except FileNotFoundError:
        known = ", ".join(names)
        raise InputError(f"there is no file {place}; shipped by name: {known}") from None
    except OSError as error:
        raise InputError(f"cannot read {place}: {error.strerror}") from None
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{place} is not valid TOML: {error}") from None
    except UnicodeDecodeError as error:
        raise InputError(f"{place} is not a UTF-8 text: {error.reason}") from None


def laid_over(written: dict[str, Any], changes: dict[str, Any]) -> dict[str, Any]:
    """Return the tree with dotted keys replaced; a change that is None changes nothing.

    Examples
    --------
    >>> laid_over({"above": {"hole_mm": 1}}, {"above.hole_mm": 2, "below.hole_mm": None})
    {'above': {'hole_mm': 2}}
    """
    tree = {key: dict(each) if isinstance(each, dict) else each for key, each in written.items()}
    for dotted, value in changes.items():
        if value is not None:
            *table, key = dotted.split(".")
            (tree.setdefault(table[0], {}) if table else tree)[key] = value
    return tree


def checked(model: type[Read], written: dict[str, Any], place: str) -> Read:
    """Return the tree as its model; every fault is named with its key."""
    try:
        return model.model_validate(written)
    except ValidationError as error:
        faults = "; ".join(fault_text(each) for each in error.errors())
        raise InputError(f"{place}: {faults}") from None


def fault_text(fault: Any) -> str:
    """Return one fault as "key: what is wrong"."""
    key = ".".join(str(part) for part in fault["loc"])
    if fault["type"] == "extra_forbidden":
        return f"{key}: no such line"
    said = str(fault["msg"]).removeprefix("Value error, ")
    return (
        f"{key}: {said}"
        if fault["type"] == "value_error"
        else f"{key}: {said}, got {fault['input']!r}"
    )
