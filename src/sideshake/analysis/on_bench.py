"""A watch on the bench: its calibre sheet, and what was measured on it."""

from dataclasses import dataclass

from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.measurements import Bench, Measurements, bench


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """A watch on the bench: its sheet, what was measured on it, and the case both make."""

    calibre: CalibreSheet
    found: Measurements
    bench: Bench


def laid_out(calibre: CalibreSheet, found: Measurements) -> Lying:
    """Return a watch on the bench, from its calibre sheet and what was measured on it.

    Raises
    ------
    InputError : a size that cannot be, or a sheet without what a barrel needs; says which line
    """
    return Lying(calibre=calibre, found=found, bench=bench(calibre, found))
