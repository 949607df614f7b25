"""The fit of each hole that a visit's sizes ask for, for the bench sheet."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough
from sideshake.documents.hole_fit import HoleFit, hole_fit
from sideshake.fit.tooling import reamer_sequence, sizes_in_tenths
from sideshake.fit.workshop import WorkshopTools
from sideshake.wear.verdict import BearingPlace
from sideshake.web.drawer.services import items_in_stock
from sideshake.web.measuring.services import Judged, judged, repair_at
from sideshake.web.models import Kind, Visit
from sideshake.workshop_rules.repair import Repair


@dataclass(frozen=True, slots=True, kw_only=True)
class Fits:
    """The fits that could be reckoned, and why another could not."""

    holes: tuple[HoleFit, ...] = ()
    lacking: tuple[str, ...] = ()


def fits_of(visit: Visit) -> Fits:
    """Return the fits of the holes that the verdict names; none when nothing is judged yet."""
    known = judged(visit)
    if known.verdict is None:
        return Fits()
    at_hand = reamers_here() if known.verdict.places else ()
    holes, lacking = [], []
    for place in known.verdict.places:
        try:
            holes.append(fit_at(known, place, visit.number, at_hand_mm=at_hand))
        except (InputError, NotEnough) as why:
            lacking.append(
                _("the fit of the hole %(place)s: %(why)s") % {"place": place, "why": why}
            )
    return Fits(holes=tuple(holes), lacking=tuple(lacking))


def fit_at(
    known: Judged, place: BearingPlace, reference: str, *, at_hand_mm: tuple[float, ...]
) -> HoleFit:
    """Return one hole's fit, reamed with what is at hand, else with the sizes that are wanted."""
    bare = repair_at(known, place, reference)
    tools = WorkshopTools(reamers_mm=reamers_for(bare, at_hand_mm))
    made = repair_at(known, place, reference, tools=tools)
    wanted = known.lying.found.barrel.endshake_wanted_mm if known.lying else None
    return hole_fit(made, in_drawer_mm=at_hand_mm, endshake_mm=wanted)


def reamers_for(bare: Repair, at_hand_mm: tuple[float, ...]) -> tuple[float, ...]:
    """Return the reamers at hand if they serve without a large cut, else those wanted."""
    seat, outside_mm = bare.seat, bare.fit.part.outside_mm
    wanted = sizes_in_tenths(
        start_mm=seat.old_hole_mm, outside_mm=outside_mm, under_mm=seat.interference_mm
    )
    try:
        cuts = reamer_sequence(
            at_hand_mm,
            start_mm=seat.old_hole_mm,
            outside_mm=outside_mm,
            under_mm=seat.interference_mm,
        )
    except NotEnough:
        return wanted
    return wanted if any(cut.is_large for cut in cuts) else at_hand_mm


def reamers_here() -> tuple[float, ...]:
    """Return the sizes of the reamers in the drawer, the smallest first."""
    rows = items_in_stock().filter(kind=Kind.REAMER, stock__gt=0, outside_mm__gt=0)
    return tuple(sorted(set(sizes(rows.values_list("outside_mm", flat=True)))))


def sizes(values: Iterable[float | None]) -> list[float]:
    """Return the sizes that are known."""
    return [each for each in values if each is not None]
