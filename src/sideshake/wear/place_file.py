"""What was measured at the bearings of one watch, as it is written down in a file.

A table stands for one place: `[third.above]`, or `[rotor]` where there is one bearing only.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sideshake.core.errors import InputError
from sideshake.movement.lines import text_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.written import checked
from sideshake.wear.place_sizes import USUAL_U_MM, PlaceLines
from sideshake.wear.watch_places import place_named

WORDS = ("calibre", "watch")
SIDES = ("above", "below")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesWritten:
    """The bearings measured on one watch, by name, and the calibre they are of."""

    lines: Mapping[str, PlaceLines]
    calibre: str = ""
    watch: str = ""
    u_mm: float = USUAL_U_MM


def places_written(tree: Mapping[str, Any]) -> PlacesWritten:
    """Return what a file tells.

    Parameters
    ----------
    tree : as its TOML was read

    Raises
    ------
    InputError : a line is none, or cannot be; its place is named

    Examples
    --------
    >>> third = {"above": {"hole_mm": "0.23"}}
    >>> found = places_written({"third": third, "rotor": {"play_mm": 0.04}})
    >>> list(found.lines), found.u_mm
    (['third.above', 'rotor'], 0.005)
    """
    told = {name: str(tree.get(name, "")) for name in WORDS}
    tables = {name: each for name, each in tree.items() if name not in (*WORDS, "u_mm")}
    lines: dict[str, PlaceLines] = {}
    for arbor, table in tables.items():
        for name, rows in places_in(arbor, table):
            lines[name] = checked(PlaceLines, dict(rows), name)
    return PlacesWritten(lines=lines, u_mm=own_u(tree), **told)


def places_in(arbor: str, table: Any) -> list[tuple[str, Mapping[str, Any]]]:
    """Return the places of one arbor's table, with their lines.

    Raises
    ------
    InputError : it is no table, or the barrel's
    """
    if not isinstance(table, Mapping):
        raise InputError(
            f"{arbor}: no such line; a bearing is a table, such as [third.above] or [rotor]"
        )
    if arbor in ("barrel", *SIDES):
        raise InputError(
            f"[{arbor}]: the barrel's bearings are judged together with its gaps: "
            "sideshake barrel --measured"
        )
    sides = [(f"{arbor}.{side}", table[side]) for side in SIDES if side in table]
    bare = {name: each for name, each in table.items() if name not in SIDES}
    return [*sides, *([(arbor, bare)] if bare or not sides else [])]


def own_u(tree: Mapping[str, Any]) -> float:
    """Return the standard uncertainty of a length that carries none.

    Raises
    ------
    InputError : it is no number above 0
    """
    if "u_mm" not in tree:
        return USUAL_U_MM
    try:
        found = float(text_of(tree["u_mm"]))
    except ValueError:
        found = 0.0
    if not 0 < found < 1:
        raise InputError(f"u_mm: a number of mm above 0, such as 0.005; got {tree['u_mm']!r}")
    return found


def require_known(sheet: CalibreSheet | None, written: PlacesWritten) -> None:
    """Refuse places that the movement has not; those it has are named.

    Raises
    ------
    InputError : there is no such place
    """
    for name in written.lines:
        place_named(sheet, name)
