"""A visit's new parts as an order for their maker: those wished for it, else those judged."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from sideshake.bench.models import JewelOrder as StoredOrder
from sideshake.bench.models import Outwork, Visit, the_workshop
from sideshake.bench.papers.words import paper_size, written_day
from sideshake.bench.services.measuring import judged, repair_at
from sideshake.bench.services.outworking import by_size
from sideshake.errors import InputError
from sideshake.fit.jewel import Part, as_made
from sideshake.fit.materials import MATERIALS, RUBY, Material
from sideshake.paper.jewel_order import SIZES
from sideshake.pictures.jewel_sheet import JewelOrder, OrderLine, jewel_sheets
from sideshake.wear.verdict import Action, Place


def parts_of(visit: Visit, *, day: date) -> JewelOrder:
    """Return the order for a visit's parts, under its order's number or the visit's own.

    Raises
    ------
    InputError : no part is wished, and the measured sizes ask for none
    """
    wishes = [wish for wish in visit.outwork.all() if wish.jewel and is_whole(wish)]
    lines = tuple(map(wished_line, wishes)) or tuple(judged_lines(visit))
    numbers = {wish.order.number for wish in wishes if wish.order}
    number = numbers.pop() if len(numbers) == 1 else visit.number
    return from_us(number, lines, day=day)


def part_at(visit: Visit, place: Place, *, day: date) -> JewelOrder:
    """Return the order for the part of one hole.

    Raises
    ------
    InputError : there is no verdict, or no part fits; says why
    """
    made = as_made(repair_at(judged(visit), place, visit.number).fit)
    line = OrderLine(part=made, quantity=1, reference=f"{visit.number} {place}")
    return from_us(f"{visit.number} {place}", (line,), day=day)


def ordered(stored: StoredOrder, wishes: Iterable[Outwork]) -> JewelOrder:
    """Return an order as it goes to the maker; a wish that lacks a size is left out.

    Raises
    ------
    InputError : no wish of it has all its sizes
    """
    lines = tuple(wished_line(wish) for wish in wishes if is_whole(wish))
    if not lines:
        raise InputError(
            _("order %(number)s: no part of it has hole, outside and thickness")
            % {"number": stored.number}
        )
    return from_us(stored.number, lines, day=stored.ordered_on, to=stored.to)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """How many sheets an order's drawing has, how high on a page, and what cannot be drawn."""

    sheets: tuple[int, ...] = ()
    high_px: int = 0
    lacking: tuple[str, ...] = ()


WIDE_PX = 891
"""How wide a drawing is shown on a page."""


def drawing_high_px() -> int:
    """Return how high a drawing is shown on a page, by the paper it is made for."""
    size = SIZES[paper_size()]
    return round(WIDE_PX * size.height / size.width)


def drawn(stored: StoredOrder, wishes: Iterable[Outwork]) -> Drawn:
    """Return what can be drawn of an order; says why where nothing can."""
    wishes = list(wishes)
    try:
        made = jewel_sheets(ordered(stored, wishes))
    except InputError as error:
        return Drawn(lacking=(str(error),))
    return Drawn(
        sheets=tuple(range(1, len(made) + 1)),
        high_px=drawing_high_px(),
        lacking=sizes_missing(wishes),
    )


def from_us(number: str, lines: tuple[OrderLine, ...], *, day: date, to: str = "") -> JewelOrder:
    """Return an order with this workshop in its title block, on the paper it prints on."""
    shop = the_workshop()
    return JewelOrder(
        workshop=shop.name,
        number=number,
        date=written_day(day),
        lines=lines,
        to=to,
        reached=" · ".join(each for each in (shop.phone, shop.email) if each),
        size=SIZES[paper_size()],
    )


def sizes_missing(wishes: Iterable[Outwork]) -> tuple[str, ...]:
    """Return which wished parts cannot be ordered yet, for the restorer."""
    return tuple(
        _("the sizes of “%(what)s”") % {"what": wish.what}
        for wish in wishes
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
    if known.verdict.action is Action.MEASURE:
        raise InputError(
            _("visit %(number)s: no part is wished, and the sizes do not tell yet. %(why)s")
            % {"number": visit.number, "why": known.verdict.sentence}
        )
    if not places:
        raise InputError(
            _("visit %(number)s: no part is wished, and the sizes ask for no new hole")
            % {"number": visit.number}
        )
    made = [as_made(repair_at(known, each, visit.number).fit) for each in places]
    return [OrderLine(part=part, quantity=1, reference=visit.number) for part in made]
