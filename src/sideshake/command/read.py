"""Read what a person typed on the command line."""

import csv
from pathlib import Path

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.mainspring import Spring
from sideshake.movement.plain import typed

STOCK_MM = (0.005, 20_000.0)
"""No mainspring of any timepiece is thinner than the one or longer than the other."""
STOCK_COLUMNS = ("thickness_mm", "height_mm", "length_mm")


def measured(name: str, written: str) -> Measured:
    """Return an option's value, a plain one known to its last digit; a fault names the option."""
    try:
        return typed(name.replace("-", "_"), written)
    except InputError as error:
        raise InputError(f"--{name}: {error}") from None


def pairs(name: str, written: list[str]) -> dict[str, str]:
    """Return "key=value" options as a mapping; the same key with two values is refused."""
    found: dict[str, str] = {}
    for each in written:
        key, equals, value = each.partition("=")
        if not equals:
            raise InputError(f"--{name} looks like third.pinion=12, got {each!r}")
        if found.setdefault(key, value) != value:
            raise InputError(f"--{name} gives {key} twice: {found[key]} and {value}")
    return found


def stock(path: Path, like: Spring) -> list[Spring]:
    """Return the springs of a stock list; material and free shape as `like`.

    The list is a CSV file with the columns thickness_mm, height_mm, length_mm and, if wanted, name.
    """
    try:
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
    except OSError as error:
        raise InputError(f"cannot read the stock list {path}: {error.strerror}") from None
    except UnicodeDecodeError as error:
        raise InputError(f"the stock list {path} is not a UTF-8 text: {error.reason}") from None
    return [stock_spring(row, place, like=like) for place, row in enumerate(rows, start=2)]


def stock_spring(row: dict[str, str], place: int, *, like: Spring) -> Spring:
    """Return the spring in one row of a stock list; a fault names the row and the column."""
    sizes = []
    for column in STOCK_COLUMNS:
        if not row.get(column):
            raise InputError(f"row {place} of the stock list has no {column}")
        try:
            sizes.append(Measured.read(row[column], "mm"))
        except InputError as error:
            raise InputError(f"row {place} of the stock list, {column}: {error}") from None
        if not STOCK_MM[0] <= sizes[-1].value <= STOCK_MM[1] and sizes[-1].value > 0:
            raise InputError(
                f"row {place} of the stock list, {column}: {row[column]} mm is no size of a "
                f"mainspring; it lies between {STOCK_MM[0]:g} and {STOCK_MM[1]:g} mm"
            )
    thickness, height, length = sizes
    return Spring(
        thickness_mm=thickness,
        height_mm=height,
        length_mm=length,
        elastic_gpa=like.elastic_gpa,
        free_turns=like.free_turns,
        name=row.get("name") or "unnamed",
    )
