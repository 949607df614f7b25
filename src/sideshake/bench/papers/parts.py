"""A visit's new parts as an order for their maker: those wished for it, else those judged."""

from datetime import date

from django.utils.translation import gettext as _

from sideshake.bench.models import Outwork, Visit, the_workshop
from sideshake.bench.papers.words import written_day
from sideshake.bench.services.measuring import judged, repair_at
from sideshake.bench.services.outworking import by_size
from sideshake.errors import InputError
from sideshake.fit.jewel import Part, as_made
from sideshake.fit.materials import MATERIALS, RUBY, Material
from sideshake.pictures.jewel_sheet import JewelOrder, OrderLine


def parts_of(visit: Visit, *, day: date) -> JewelOrder:
    """Return the order for a visit's parts, under its order's number or the visit's own.

    Raises
    ------
    InputError : no part is wished, and the measured sizes ask for none
    """
    wishes = [wish for wish in visit.outwork.all() if wish.jewel and is_whole(wish)]
    lines = tuple(map(wished_line, wishes)) or tuple(judged_lines(visit))
    numbers = {wish.order.number for wish in wishes if wish.order}
    return JewelOrder(
        workshop=the_workshop().name,
        number=numbers.pop() if len(numbers) == 1 else visit.number,
        date=written_day(day),
        lines=lines,
    )


def needs_parts(visit: Visit) -> bool:
    """Whether a part is wished for a visit, or its sizes ask for one."""
    wished = any(wish.jewel and is_whole(wish) for wish in visit.outwork.all())
    known = judged(visit)
    return wished or bool(known.verdict and known.verdict.places)


def sizes_missing(visit: Visit) -> tuple[str, ...]:
    """Return which wished parts cannot be ordered yet, for the restorer."""
    return tuple(
        _("the sizes of “%(what)s”") % {"what": wish.what}
        for wish in visit.outwork.all()
        if wish.jewel and not is_whole(wish)
    )


def is_whole(wish: Outwork) -> bool:
    """Whether all three sizes of a wished part are known."""
    return by_size([wish])[0].is_whole


def wished_line(wish: Outwork) -> OrderLine:
    """Return a wished part as a line of the order."""
    part = Part(
        outside_mm=wish.outside_mm or 0.0,
        hole_mm=wish.hole_mm or 0.0,
        thickness_mm=wish.thickness_mm or 0.0,
        material=material_of(wish),
    )
    return OrderLine(part=part, quantity=wish.quantity, reference=wish.visit.number)


def material_of(wish: Outwork) -> Material:
    """Return the material that a wish names; a jewel is ruby."""
    named = (each for name, each in MATERIALS.items() if name in wish.what.lower())
    return next(named, RUBY)


def judged_lines(visit: Visit) -> list[OrderLine]:
    """Return the parts that the measured sizes ask for.

    Raises
    ------
    InputError : they ask for none, or cannot be judged
    """
    known = judged(visit)
    if known.verdict is None:
        raise InputError(
            _("visit %(number)s: no part is wished, and none follows from the sizes. %(why)s")
            % {"number": visit.number, "why": known.lacking}
        )
    places = known.verdict.places
    if not places:
        raise InputError(
            _("visit %(number)s: no part is wished, and the sizes ask for no new hole")
            % {"number": visit.number}
        )
    made = [as_made(repair_at(known, each, visit.number).fit) for each in places]
    return [OrderLine(part=part, quantity=1, reference=visit.number) for part in made]
