"""Jewels and bushes pressed into what was only a hole in the metal: no old part came out there."""

from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.documents.work_done import places_named, steps_done
from sideshake.web.models import Used, Visit
from sideshake.workshop_rules.plan import OPTION

PRESSED = ("jewel", "bush")
ROUND_WITHIN_MM = 0.02
"""Axes nearer to each other may be those of a round hole (common practice, no source)."""


def into_bare_holes(visit: Visit) -> frozenset[str]:
    """Return the kinds of piece of which each that was used went into a hole without a jewel.

    A step that presses one in and was ticked, and a hole there that had worn oval, as a jewel's
    never does. More pieces than such holes, and nobody can tell which went where.
    """
    return frozenset(
        kind
        for kind in PRESSED
        if len(bare_holes(visit, kind)) >= sum(pieces(used, kind) for used in visit.used.all()) > 0
    )


def pieces(used: Used, kind: str) -> int:
    """Return how many pieces of a kind went in."""
    return used.quantity if used.batch.item.kind == kind else 0


def bare_holes(visit: Visit, kind: str) -> set[str]:
    """Return where a step that was ticked pressed a piece into a worn hole in the metal."""
    keys = (each.key.removeprefix(OPTION) for each in steps_done(visit))
    named = {place for key in keys if key.startswith(f"{kind}-") for place in places_named(key)}
    return {place for place in named if is_oval(visit, place) and not jewelled(visit, place)}


def is_oval(visit: Visit, place: str) -> bool:
    """Return whether a hole was measured before the work and is oval."""
    sizes = {row.key: row.value for row in visit.measurements.all() if not row.after}
    long, short = (sizes.get(f"{place}.hole_{axis}_mm") for axis in ("long", "short"))
    return long is not None and short is not None and long - short > ROUND_WITHIN_MM


def jewelled(visit: Visit, place: str) -> bool:
    """Return whether the calibre's sheet says that a hole of the barrel's arbor is a jewel."""
    sheet = sheet_named(visit.watch.calibre)
    bearing = getattr(sheet.barrel, place) if sheet and sheet.barrel else None
    return bool(bearing and bearing.jewelled)
