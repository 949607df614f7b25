"""What goes out to others: jewel orders gathered from the wishes of all visits, and other work."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.fit.jewel import Part
from sideshake.fit.making import bore_words, sink_words
from sideshake.fit.materials import RUBY, material
from sideshake.fit.shape import BoreShape, sizes_text
from sideshake.web.base.holding import held, hold_visits
from sideshake.web.base.saving import save
from sideshake.web.models import Batch, Item, JewelOrder, Kind, Outwork, User

SAME_SIZE_MM = 0.0005
"""Half of the last figure in which jewels are ordered."""
PREFIX = "J"


@dataclass(frozen=True, slots=True, order=True)
class WishedSize:
    """The sizes of a jewel in mm, rounded to a thousandth; an unknown one is -1 here."""

    hole_mm: float
    outside_mm: float
    thickness_mm: float

    @property
    def text(self) -> str:
        """Return the sizes as they are said: hole, outside, thickness."""
        return sizes_text(self.hole_mm, self.outside_mm, self.thickness_mm)


def size_of(wish: Outwork) -> WishedSize:
    """Return the size of a wished jewel."""
    sizes = (wish.hole_mm, wish.outside_mm, wish.thickness_mm)
    return WishedSize(*(-1.0 if each is None else round(each, 3) for each in sizes))


@dataclass(frozen=True, slots=True, kw_only=True)
class WishGroup:
    """Wishes of one size and shape, from one or several visits."""

    size: WishedSize
    shape: str
    wishes: tuple[Outwork, ...]

    @property
    def quantity(self) -> int:
        """Return how many are wished together."""
        return sum(each.quantity for each in self.wishes)

    @property
    def is_whole(self) -> bool:
        """Whether all three sizes are known, so that it can be ordered."""
        return min(self.size.hole_mm, self.size.outside_mm, self.size.thickness_mm) > 0


def by_size(wishes: Iterable[Outwork]) -> list[WishGroup]:
    """Return the wishes, equal ones together, the smallest hole first."""
    alike: dict[tuple[WishedSize, str], list[Outwork]] = {}
    for each in wishes:
        alike.setdefault((size_of(each), shape_of(each)), []).append(each)
    return [
        WishGroup(size=size, shape=shape, wishes=tuple(alike[size, shape]))
        for size, shape in sorted(alike)
    ]


def part_of(wish: Outwork) -> Part:
    """Return a wished part.

    Raises
    ------
    InputError : there is no part of these sizes
    """
    return Part(
        outside_mm=wish.outside_mm or 0.0,
        hole_mm=wish.hole_mm or 0.0,
        thickness_mm=wish.thickness_mm or 0.0,
        material=material(wish.material or RUBY.name),
        bore=BoreShape(wish.bore or BoreShape.STRAIGHT),
        sink=wish.sink,
        colour=wish.colour or "red",
    )


def shape_of(wish: Outwork) -> str:
    """Return how a wished part is to be made, as far as its sizes allow to say it."""
    try:
        part = part_of(wish)
        made_of = f"{part.colour} ruby" if part.material == RUBY else part.material.name
        return ", ".join((made_of, bore_words(part), sink_words(part)))
    except InputError:
        return wish.material or RUBY.name


def open_wishes() -> "QuerySet[Outwork]":
    """Return the jewels wished and not ordered yet, from all visits."""
    rows = Outwork.objects.filter(jewel=True, order=None, back_on=None, sent_on=None)
    return rows.select_related("visit__watch")


def next_order_number(year: int) -> str:
    """Return the number that follows the year's last, such as J2026-004."""
    start = f"{PREFIX}{year:04d}-"
    numbers = JewelOrder.objects.filter(number__startswith=start).values_list("number", flat=True)
    used = [int(each.removeprefix(start)) for each in numbers if each.removeprefix(start).isdigit()]
    return f"{start}{max(used, default=0) + 1:03d}"


@transaction.atomic
def make_order(order: JewelOrder, wanted: list[int], by: User) -> None:
    """Store an order with the wishes that were ticked; each of them goes out with it.

    Raises
    ------
    InputError : none is ticked, one is ordered already or lacks a size
    """
    ticked = Outwork.objects.filter(pk__in=wanted, jewel=True)
    hold_visits(ticked.values_list("visit", flat=True))
    wishes = list(held(ticked.order_by("visit", "pk")))
    if not wishes:
        raise InputError(_("tick at least one jewel for the order"))
    for wish in wishes:
        require_orderable(wish)
    save(order, by)
    for wish in wishes:
        put_into(order, wish, by)


def put_into(
    order: JewelOrder, wish: Outwork, by: User, *, before: JewelOrder | None = None
) -> None:
    """Let a wish go out with an order; `before` is the order as it was, when the wish is in it."""
    follows = wish.due_on is None or (before is not None and wish.due_on == before.wanted_on)
    wish.order, wish.to, wish.sent_on = order, order.to, order.ordered_on
    wish.due_on = order.wanted_on if follows else wish.due_on
    save(wish, by, what=f"ordered with {order.number}: {wish.what}")


def take_from(order: JewelOrder, wish: Outwork, by: User) -> None:
    """Take a wish out of an order; it is open again."""
    wish.order, wish.sent_on, wish.to = None, None, ""
    wish.due_on = None if wish.due_on == order.wanted_on else wish.due_on
    save(wish, by, what=f"not ordered with {order.number} any more: {wish.what}")


def require_orderable(wish: Outwork) -> None:
    """Refuse a wish that is ordered already or lacks a size.

    Raises
    ------
    InputError : why it cannot be ordered
    """
    if wish.order_id or wish.back_on:
        raise InputError(_("“%(what)s” is ordered already; load the list again") % words(wish))
    if not by_size([wish])[0].is_whole:
        raise InputError(
            _("“%(what)s” lacks a size: a jewel is ordered by hole, outside and thickness")
            % words(wish)
        )


def words(wish: Outwork) -> dict[str, str]:
    """Return what a sentence about a wish needs."""
    return {"what": wish.what}


@transaction.atomic
def receive_order(order: JewelOrder, on: date, by: User) -> int:
    """Return how many jewels went into the drawer; the wishes of the order are back.

    Raises
    ------
    InputError : it was received already, or before it was ordered
    """
    hold_visits(order.wishes.values_list("visit", flat=True))
    stored = held(JewelOrder.objects.all()).get(pk=order.pk)
    if stored.received_on:
        raise InputError(_("order %(number)s is received already") % {"number": order.number})
    if on < stored.ordered_on:
        raise InputError(_("an order is not received before it is made"))
    wishes = list(stored.wishes.select_related("visit"))
    stored.received_on = on
    save(stored, by, what=f"received: {stored.number}")
    groups = by_size(each for each in wishes if each.jewel)
    for group in groups:
        put_away(group, stored, on, by=by)
    for wish in wishes:
        wish.back_on = wish.back_on or on
        save(wish, by, what=f"back with {stored.number}: {wish.what}")
    return sum(each.quantity for each in groups)


def require_as_ordered(work: Outwork) -> None:
    """Refuse another size or shape of a part that its maker has on paper.

    Raises
    ------
    InputError : names the order
    """
    stored = Outwork.objects.select_related("order").get(pk=work.pk)
    changed = any(getattr(work, name) != getattr(stored, name) for name in Outwork.SHAPE)
    if stored.order and changed:
        raise InputError(
            _("it is ordered with %(number)s as it is; wish for the other one anew")
            % {"number": stored.order.number}
        )


def put_away(group: WishGroup, order: JewelOrder, on: date, *, by: User) -> Batch:
    """Return the batch of a received size; an item of the same size takes it up."""
    made_of = group.wishes[0].material or RUBY.name
    kind = Kind.JEWEL if made_of == RUBY.name else Kind.BUSH
    item = item_of_size(group.size, kind) or Item(
        kind=kind,
        name=f"{kind.label} {group.size.text} mm",
        note=group.shape[:200],
        hole_mm=group.size.hole_mm,
        outside_mm=group.size.outside_mm,
        thickness_mm=group.size.thickness_mm,
    )
    if item.pk is None:
        save(item, by)
    batch = Batch(
        item=item,
        label=order.number,
        supplier=order.to,
        origin="made",
        received_on=on,
        quantity=group.quantity,
    )
    save(batch, by)
    return batch


def item_of_size(size: WishedSize, kind: Kind) -> Item | None:
    """Return the jewel or bush of the drawer that has these sizes to a thousandth of a mm."""
    near = {
        f"{name}__range": (value - SAME_SIZE_MM, value + SAME_SIZE_MM)
        for name, value in (
            ("hole_mm", size.hole_mm),
            ("outside_mm", size.outside_mm),
            ("thickness_mm", size.thickness_mm),
        )
    }
    return Item.objects.filter(kind=kind, **near).order_by("pk").first()


def out_now() -> "QuerySet[Outwork]":
    """Return the work that is out, the longest expected first."""
    rows = Outwork.objects.filter(back_on=None).exclude(sent_on=None)
    return rows.select_related("visit__watch", "order").order_by("due_on", "sent_on", "pk")


def write_outwork(work: Outwork, by: User, *, seen: int | None = None) -> None:
    """Store outwork.

    Raises
    ------
    InputError : it is back before it was sent, or is ordered and would be made otherwise
    """
    if work.sent_on and work.back_on and work.back_on < work.sent_on:
        raise InputError(_("it cannot be back before it was sent"))
    if work.pk and work.order_id:
        require_as_ordered(work)
    save(work, by, seen=seen)
