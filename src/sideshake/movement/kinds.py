"""Which kind of a work a movement has, as far as its sheet tells."""

from sideshake.movement.sheet import CalibreSheet

FRICTION_CLUTCH = "vertical clutch"


def friction_clutch(sheet: CalibreSheet) -> bool:
    """Return whether the chronograph is coupled by friction, so that its hand jumps no tooth."""
    return sheet.chronograph is not None and sheet.chronograph.coupling == FRICTION_CLUTCH


def free_sprung(sheet: CalibreSheet | None) -> bool:
    """Return whether the balance has no index and no pins; False where nothing is known."""
    balance = sheet.balance if sheet else None
    return balance is not None and balance.regulating == "free-sprung"
