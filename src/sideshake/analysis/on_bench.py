"""A watch on the bench: its calibre sheet, and what was measured on it."""

from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.measurements import Measurements, bench
from sideshake.workshop_rules.repair import Lying


def laid_out(calibre: CalibreSheet, found: Measurements) -> Lying:
    """Return a watch on the bench, from its calibre sheet and what was measured on it.

    Raises
    ------
    InputError : a size that cannot be, or a sheet without what a barrel needs; says which line
    """
    return Lying(calibre=calibre, found=found, bench=bench(calibre, found))
