"""An order to a jewel maker after it was made: changed, issued, and given as it was issued."""

from dataclasses import replace
from datetime import date

from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.documents.kinds import Made
from sideshake.web.base.holding import held, hold_visits
from sideshake.web.base.saving import save
from sideshake.web.documents.issuing import as_made, freeze, together
from sideshake.web.documents.jewel_orders import drawn_order
from sideshake.web.documents.pivot_truing import to_settle
from sideshake.web.documents.registry import makers
from sideshake.web.models import Issued, JewelOrder, Outwork, User, Visit
from sideshake.web.outwork.queries import issues_of, orders_of
from sideshake.web.outwork.services import open_wishes, put_into, require_orderable, take_from


def order_given(stored: JewelOrder, *, gaps: tuple[str, ...] = ()) -> Made:
    """Return the one paper of an order, whoever asks: as it was issued last, else as it is.

    Raises
    ------
    InputError : no wish of it has all its sizes, or its issued file is gone
    """
    row = issues_of(stored).last()
    if row is None:
        return makers.stored_order_paper(stored, gaps=gaps)
    kept = as_made(row)
    return replace(kept, gaps=(*kept.gaps, *gaps))


def parts_given(visit: Visit, *, day: date) -> Made:
    """Return the paper of a visit's newest order; a draft of the one there could be.

    Raises
    ------
    InputError : it needs no new part, as far as is known
    """
    orders = orders_of(visit)
    if not orders:
        return makers.parts_draft(visit, day=day)
    issued = issues_of(orders[0]).exists()
    return order_given(orders[0], gaps=to_settle(visit, issued=issued))


@together()
def issue_order(stored: JewelOrder, by: User, *, on: date) -> Issued:
    """Return an order as it goes to its maker today; a second time it is its next version.

    Raises
    ------
    InputError : as `require_issuable`
    """
    require_issuable(stored)
    return issue_next(stored, by, on=on)


def require_issuable(stored: JewelOrder) -> None:
    """Refuse to issue an order that cannot go out, or that went out as it is.

    Raises
    ------
    InputError : no wish of it has all its sizes, or it has not changed since it was issued
    """
    drawn_order(stored)
    if issues_of(stored).exists() and not is_changed(stored):
        raise InputError(
            _("order %(number)s is issued already, and nothing of it has changed")
            % {"number": stored.number}
        )


def issue_next(stored: JewelOrder, by: User, *, on: date) -> Issued:
    """Return the next version of an order as it goes to its maker; whoever asks has looked.

    Raises
    ------
    InputError : no wish of it has all its sizes
    """
    paper = makers.stored_order_paper(stored, version=issues_of(stored).count() + 1)
    first = stored.wishes.select_related("visit__watch__owner").first()
    if first is None:
        raise InputError(_("order %(number)s has no part") % {"number": stored.number})
    return freeze(first.visit, paper, by, on=on, of=stored.number)


@together()
def change_order(
    order: JewelOrder, wanted: list[int], by: User, *, on: date, seen: int | None = None
) -> None:
    """Write an order and which wishes are in it; of an issued one the next version is issued.

    Raises
    ------
    InputError : it is received, would be empty, or a wish is ordered already or lacks a size
    """
    ticked = Outwork.objects.filter(pk__in=wanted, jewel=True)
    visits = (ticked | Outwork.objects.filter(order=order.pk)).values_list("visit", flat=True)
    hold_visits(visits)
    before = held(JewelOrder.objects.all()).get(pk=order.pk)
    if before.received_on:
        raise InputError(_("order %(number)s is received; it stays") % {"number": order.number})
    stand = list(held(before.wishes.order_by("visit", "pk")))
    save(order, by, seen=seen)
    wishes = list(held(ticked.order_by("visit", "pk")))
    if not wishes:
        raise InputError(_("an order needs at least one jewel"))
    for wish in stand:
        if wish not in wishes:
            take_from(before, wish, by)
    for wish in wishes:
        if wish in stand:
            put_into(order, wish, by, before=before)
        else:
            require_orderable(wish)
            put_into(order, wish, by)
    if issues_of(order).exists() and is_changed(order):
        issue_next(order, by, on=on)


def is_changed(order: JewelOrder) -> bool:
    """Whether what is on an issued order's paper is not what stands in the records any more."""
    last = issues_of(order).last()
    version = issues_of(order).count()
    return last is not None and (
        makers.stored_order_paper(order, version=version).data != as_made(last).data
    )


def wishes_to_choose(order: JewelOrder) -> list[Outwork]:
    """Return the wishes that are in an order, and those that could be."""
    inside = list(order.wishes.filter(jewel=True).select_related("visit__watch"))
    return [*inside, *open_wishes()]
