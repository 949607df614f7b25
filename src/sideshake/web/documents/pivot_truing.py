"""A pivot that is still to be trued: its jewel would be ordered to a size that it then leaves."""

from collections.abc import Iterable, Iterator

from django.db.models import prefetch_related_objects
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough
from sideshake.fit.tooling import TRUE_THE_PIVOT
from sideshake.wear.verdict import BearingPlace
from sideshake.web.documents.jewel_orders import unordered
from sideshake.web.measuring.services import judged, repair_at
from sideshake.web.models import Outwork, Visit
from sideshake.workshop_rules.repair import part_name


def to_settle(visit: Visit, *, issued: bool = False) -> tuple[str, ...]:
    """Return what of a visit's wished parts is open, and its pivots until the order is issued."""
    return (*unordered(visit), *(() if issued else untrued(visit)))


def untrued(visit: Visit) -> tuple[str, ...]:
    """Return the pivots to be trued and measured before their parts are ordered.

    None where the plan's step to true it is ticked or left out, and none of a part whose size does
    not follow from a measured pivot.
    """
    way = [step for step in visit.plan.all() if step.how == TRUE_THE_PIVOT]
    if way and all(step.done_at for step in way):
        return ()
    words = _("the pivot %(place)s trued and measured again, before its part is ordered")
    return tuple(words % {"place": each} for each in places_sought(visit))


def untrued_for(wishes: Iterable[Outwork]) -> tuple[str, ...]:
    """Return the pivots to be trued before an order goes out, each with its visit."""
    visits = list({wish.visit_id: wish.visit for wish in wishes if wish.jewel}.values())
    prefetch_related_objects(visits, "plan", "measurements", "outwork")
    return tuple(f"{visit.number}: {each}" for visit in visits for each in untrued(visit))


def places_sought(visit: Visit) -> Iterator[BearingPlace]:
    """Yield each place whose part is wished by its name, or follows from the sizes."""
    known = judged(visit)
    wishes = {wish.what for wish in visit.outwork.all() if wish.jewel}
    for place in known.verdict.places if known.verdict else ():
        try:
            name = part_name(repair_at(known, place, visit.number))
        except (InputError, NotEnough):
            continue
        if not wishes or name in wishes:
            yield place
