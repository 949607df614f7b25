"""What cannot be in a calibre sheet, and what is odd: each line by itself, lines against lines."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.at_odds import odds_faults
from sideshake.movement.bounds import BOUNDS, USUAL_BEATS, Bounds
from sideshake.movement.escapement import limits_of
from sideshake.movement.fault import Fault, judged
from sideshake.movement.pointers import pointer_faults
from sideshake.movement.proportions import SIZES
from sideshake.movement.sheet import CalibreSheet, meaning
from sideshake.movement.train import ESCAPE
from sideshake.movement.workings import WORKINGS, bearing_faults, bearings_of, mesh_faults

LARGE_DOUBT = 0.5
"""A doubt of half the value is odd, one of the whole value no measurement (own choice)."""
LEAST_SHARED = 2
"""A line that two faults share is the one to look at first."""
MAY_BE_ANYTHING = ("mainspring.free_turns",)
"""Lines that go through 0, so that a doubt as large as the value is nothing odd."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbered:
    """A line of the sheet that holds a number: its place, its number, its doubt."""

    key: str
    value: float
    u: float = 0.0

    @property
    def pattern(self) -> str:
        """Return the place with `*` for the rows of lists."""
        return ".".join("*" if part.isdigit() else part for part in self.key.split("."))


def faults(sheet: CalibreSheet) -> tuple[Fault, ...]:
    """Return everything in the sheet that cannot be, then everything that is odd but possible.

    Parameters
    ----------
    sheet : as read; every line optional

    Returns
    -------
    one `Fault` for each line or pair of lines, those that cannot be first
    """
    alone = [
        *line_faults(sheet),
        *doubt_faults(sheet),
        *jewel_faults(sheet),
        *pointer_faults(sheet),
        *odds_faults(sheet),
    ]
    known = {each.lines for each in alone if each.cannot_be}
    together = [each for each in proportion_faults(sheet) if not known_by(known, each)]
    return tuple(sorted([*alone, *together], key=lambda each: not each.cannot_be))


def known_by(known: set[str], fault: Fault) -> bool:
    """Return whether a fault names a line, or a section with a line, that cannot be by itself."""
    return any(line == key or line.startswith(f"{key}.") for line in known for key in fault.keys)


def look_first(found: Iterable[Fault]) -> str:
    """Return the line that most of the faults between lines share; empty when none stands out."""
    shared = [each.keys for each in found if each.cannot_be and len(each.keys) > 1]
    counts = Counter(key for keys in shared for key in keys)
    most = max(counts.values(), default=0)
    named = [key for key, count in counts.items() if count == most]
    return named[0] if most >= LEAST_SHARED and len(named) == 1 else ""


def numbered_lines(sheet: CalibreSheet) -> Iterator[Numbered]:
    """Yield every line of the sheet that holds a number."""
    yield from numbers_in(sheet, "")


def numbers_in(found: Any, place: str) -> Iterator[Numbered]:
    """Yield the numbers at and below one place of the sheet."""
    if isinstance(found, Measured):
        yield Numbered(key=place, value=found.value, u=found.u)
    elif isinstance(found, int) and not isinstance(found, bool):
        yield Numbered(key=place, value=float(found))
    elif isinstance(found, BaseModel):
        for key in type(found).model_fields:
            yield from numbers_in(getattr(found, key), f"{place}.{key}" if place else key)
    elif isinstance(found, tuple):
        for row, each in enumerate(found):
            yield from numbers_in(each, f"{place}.{row}")


def bounds_of(sheet: CalibreSheet, line: Numbered) -> Bounds | None:
    """Return the bounds of one line; None where there are none."""
    if line.key == "lift_angle_deg":
        return limits_of(sheet).lift_deg
    if line.key == "nominal.lying_full_deg":
        return limits_of(sheet).lying_deg
    parts = line.key.split(".")
    if line.pattern == "train.arbors.*.wheel" and sheet.train:
        name = sheet.train.arbors[int(parts[2])].name
        if name == ESCAPE:
            return BOUNDS["train.escape.wheel"]
    return BOUNDS.get(line.pattern)


def line_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield the lines whose own value cannot be or is odd."""
    for line in numbered_lines(sheet):
        limits = bounds_of(sheet, line)
        if limits is not None:
            said = f"{line.key} ({meaning(line.key)})"
            yield from judged(line.key, said, line.value, limits)
    beats = sheet.beats_per_hour
    limits = BOUNDS["beats_per_hour"]
    if beats and not limits.cannot_hold(beats) and beats not in USUAL_BEATS:
        yield Fault(
            lines="beats_per_hour",
            words=f"beats_per_hour is {beats}, which is no usual number of beats ({limits.source})",
            cannot_be=False,
        )


def doubt_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield the lines whose doubt is as large as the value itself, or half of it."""
    for line in numbered_lines(sheet):
        if line.key in MAY_BE_ANYTHING or line.u <= LARGE_DOUBT * abs(line.value):
            continue
        yield Fault(
            lines=line.key,
            words=f"{line.key} is {line.value:g} with a doubt of {line.u:g} (standard): that is "
            "no measurement",
            cannot_be=line.u >= abs(line.value),
        )


def jewel_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield jewels that are too few for the escapement or for the bearings the sheet lists."""
    if sheet.jewels is None:
        return
    limits = limits_of(sheet)
    own = sum(bearing.jewelled is True for _, bearing in bearings_of(sheet))
    if sheet.jewels < own:
        yield Fault(
            lines="jewels",
            words=f"jewels says {sheet.jewels}, but {own} bearings of the sheet are jewelled",
            cannot_be=True,
        )
    elif sheet.jewels < limits.least_jewels:
        yield Fault(
            lines="jewels",
            words=f"jewels says {sheet.jewels}; a {limits.name} escapement usually has "
            f"{limits.least_jewels} at least",
            cannot_be=False,
        )


def proportion_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield the lines that do not belong together."""
    for proportion in (*SIZES, *WORKINGS):
        value = value_of(proportion.formula, sheet)
        if value is not None:
            yield from judged(proportion.lines, proportion.what, value, proportion.bounds)
    yield from bearing_faults(sheet)
    try:
        yield from mesh_faults(sheet)
    except InputError:
        return  # said by the computation itself, in `check`


def value_of(formula: Callable[[CalibreSheet], float], sheet: CalibreSheet) -> float | None:
    """Return what a formula gives; None where a line lacks or contradicts another.

    What contradicts itself is said by the computation itself, in `check`.
    """
    try:
        return formula(sheet)
    except (InputError, NotEnough, ZeroDivisionError):  # a length of 0 is judged by itself
        return None
