"""What a photograph told, written into a file of measurements; every other line stays as it is."""

import math
import re
import tomllib
from pathlib import Path

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.lines import WrittenFigure
from sideshake.movement.written import checked
from sideshake.photo.hole import HoleSeen
from sideshake.photo.sizes import OVAL, ROUND, sizes_of
from sideshake.wear.measurements import Measurements

REPLACED = re.compile(rf"\s*({'|'.join((*ROUND, *OVAL))})\s*=")
HEADER = re.compile(r"\s*\[")


def write_into(path: Path, place: str, hole: HoleSeen) -> None:
    """Put a hole's lines into a table of a file of measurements, which is made if need be.

    Raises
    ------
    InputError : the file cannot be read or written, or would not be one of measurements
    """
    try:
        before = path.read_text(encoding="utf-8") if path.exists() else ""
        after = with_hole(before, place, hole_lines(hole))
        checked(Measurements, tomllib.loads(after, parse_float=WrittenFigure), str(path))
        path.write_text(after, encoding="utf-8")
    except OSError as fault:
        raise InputError(f"cannot write {path}: {fault.strerror}") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise InputError(f"{path} is not valid TOML: {fault}") from None


def hole_lines(hole: HoleSeen) -> list[str]:
    """Return the lines of a hole: its axes and direction where the oval is real, else one size."""
    return [
        line(name, size, 1 if name.endswith("_deg") else 4) for name, size in sizes_of(hole).items()
    ]


def line(name: str, value: Measured, places: int) -> str:
    """Return one line; its interval is rounded up, for at the last digit it must not be nothing."""
    least = 10.0**-places
    interval = max(1, math.ceil(value.expanded / least - 1e-6)) * least
    return f'{name} = "{value.value:.{places}f}+-{interval:.{places}f}"'


def with_hole(text: str, place: str, lines: list[str]) -> str:
    """Return the text with a table's lines of the hole replaced, the table added if need be.

    Examples
    --------
    >>> with_hole("u_mm = 1\\n[above]\\nhole_mm = 2\\npivot_mm = 3\\n", "above", ["hole_mm = 4"])
    'u_mm = 1\\n[above]\\nhole_mm = 4\\npivot_mm = 3\\n'
    """
    made: list[str] = []
    inside = found = False
    for each in text.splitlines():
        if HEADER.match(each):
            inside = each.split("#")[0].strip() == f"[{place}]"
            made.append(each)
            if inside:
                made += lines
                found = True
        elif not (inside and REPLACED.match(each)):
            made.append(each)
    if not found:
        made += [*([""] if made else []), f"[{place}]", *lines]
    return "\n".join(made) + "\n"
