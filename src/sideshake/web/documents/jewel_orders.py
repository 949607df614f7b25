"""A visit's new parts as an order for their maker: those wished for it, else those judged.

An order has one paper, whoever asks for it. What is not ordered yet is a draft, without a number.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.documents.jewel_order import SIZES, order_gaps
from sideshake.documents.result import WorkStage
from sideshake.drawings.jewel_sheet import OrderDrawing, OrderLine, jewel_sheets
from sideshake.fit.jewel import as_made
from sideshake.wear.verdict import Action, BearingPlace
from sideshake.web.documents.words import letterhead, paper_size, written_day
from sideshake.web.documents.work_done import FINISHED, hole_steps, is_done, stage_of
from sideshake.web.measuring.services import judged, repair_at
from sideshake.web.models import JewelOrder, Outwork, Visit, the_workshop
from sideshake.web.outwork.queries import issues_of, orders_of
from sideshake.web.outwork.services import by_size, part_of
from sideshake.workshop_rules.repair import Repair, part_name


def draft_of(visit: Visit, *, day: date) -> OrderDrawing:
    """Return a draft of the order for the parts that a visit wishes for, else for those judged.

    Raises
    ------
    InputError : no part is wished, and the measured sizes ask for none; or none is needed any more
    """
    why = no_longer_needed(visit)
    if why:
        raise InputError(
            _("visit %(number)s: nothing is to be ordered: %(why)s")
            % {"number": visit.number, "why": why}
        )
    wishes = [w for w in visit.outwork.all() if w.jewel and not w.order_id and is_whole(w)]
    lines = tuple(map(wished_line, wishes)) or tuple(judged_lines(visit))
    return from_us("", lines, day=day)


def no_longer_needed(visit: Visit) -> str:
    """Return why no part is to be ordered any more; empty where one may be.

    The holes are made when each step of the plan to them is ticked, and one at least was not left
    out; a wish that is still open is to be ordered all the same.
    """
    if stage_of(visit) is WorkStage.DONE:
        return _("the work is done")
    if visit.step in FINISHED:
        return _("the watch is ready, or has gone home")
    way = hole_steps(visit)
    wished = any(wish.jewel and not wish.back_on for wish in visit.outwork.all())
    made = not wished and any(map(is_done, way)) and all(step.done_at for step in way)
    return _("the new holes are made") if made else ""


def order_for(visit: Visit, *, day: date) -> OrderDrawing:
    """Return the visit's newest order as it went to its maker; a draft while there is none.

    Raises
    ------
    InputError : no part is wished, and the measured sizes ask for none
    """
    orders = orders_of(visit)
    return drawn_order(orders[0]) if orders else draft_of(visit, day=day)


def drawn_order(stored: JewelOrder, *, version: int = 0) -> OrderDrawing:
    """Return a stored order as it is drawn; in its last version when none is told.

    Raises
    ------
    InputError : no wish of it has all its sizes
    """
    version = version or max(1, issues_of(stored).count())
    return replace(ordered(stored, stored.wishes.select_related("visit")), version=version)


def part_at(visit: Visit, place: BearingPlace, *, day: date) -> OrderDrawing:
    """Return a draft of the order for the part of one hole.

    Raises
    ------
    InputError : there is no verdict, or no part fits; says why
    """
    made = repair_at(judged(visit), place, visit.number)
    return from_us("", (judged_line(made, visit),), day=day)


def ordered(stored: JewelOrder, wishes: Iterable[Outwork]) -> OrderDrawing:
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
    return replace(
        from_us(stored.number, lines, day=stored.ordered_on),
        to=stored.to,
        wanted=written_day(stored.wanted_on),
        call=stored.ask,
        packing=stored.packing,
    )


def order_lacks(stored: JewelOrder, wishes: Iterable[Outwork]) -> tuple[str, ...]:
    """Return what the maker would have to telephone about; nothing where nothing can be drawn."""
    try:
        return order_gaps(ordered(stored, wishes))
    except InputError:
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderDrawn:
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


def drawn(stored: JewelOrder, wishes: Iterable[Outwork]) -> OrderDrawn:
    """Return what can be drawn of an order; says why where nothing can."""
    wishes = list(wishes)
    try:
        made = jewel_sheets(ordered(stored, wishes))
    except InputError as error:
        return OrderDrawn(lacking=(str(error),))
    return OrderDrawn(
        sheets=tuple(range(1, len(made) + 1)),
        high_px=drawing_high_px(),
        lacking=sizes_missing(wishes),
    )


def from_us(number: str, lines: tuple[OrderLine, ...], *, day: date) -> OrderDrawing:
    """Return an order from this workshop, on the paper it prints on."""
    shop = the_workshop()
    return OrderDrawing(
        workshop=shop.name,
        number=number,
        date=written_day(day),
        lines=lines,
        phone=shop.phone,
        email=shop.email,
        deliver=delivery_address(),
        size=SIZES[paper_size()],
    )


def delivery_address() -> str:
    """Return where parts are sent, with the country that the settings name; empty when unknown."""
    head = letterhead()
    there = head.country if head.country not in head.address else ""
    return "\n".join(filter(None, (head.name, head.address, there))) if head.address else ""


def unordered(visit: Visit) -> tuple[str, ...]:
    """Return what of a visit's wished parts stands on no order, and why where a size lacks."""
    wishes = [wish for wish in visit.outwork.all() if wish.jewel and not wish.order_id]
    ready = [wish for wish in wishes if is_whole(wish)] if orders_of(visit) else []
    return (
        *sizes_missing(wishes),
        *(_("“%(what)s”, which is not ordered yet") % {"what": wish.what} for wish in ready),
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
    return OrderLine(
        part=part_of(wish),
        quantity=wish.quantity,
        reference=wish.visit.number,
        name=wish.what,
    )


def judged_line(made: Repair, visit: Visit) -> OrderLine:
    """Return the part of one hole as a line of the order."""
    return OrderLine(
        part=as_made(made.fit), quantity=1, reference=visit.number, name=part_name(made)
    )


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
    return [judged_line(repair_at(known, each, visit.number), visit) for each in places]
