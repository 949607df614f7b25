"""The drawer: what is in stock, a piece going into a watch and coming back, finding a jewel."""

from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.holding import held, hold_visits
from sideshake.web.base.saving import remove, save
from sideshake.web.models import Batch, Item, Kind, Removed, Used, User


def items_in_stock() -> "QuerySet[Any]":
    """Return the items with `received`, `gone` and `stock`; one question for all.

    Each sum is a question of its own inside the one: joined, batches and uses would multiply.
    """
    received = Batch.objects.filter(item=OuterRef("pk")).order_by().values("item")
    gone = Used.objects.filter(batch__item=OuterRef("pk")).order_by().values("batch__item")
    return Item.objects.annotate(
        received=Coalesce(Subquery(received.annotate(n=Sum("quantity")).values("n")), 0),
        gone=Coalesce(Subquery(gone.annotate(n=Sum("quantity")).values("n")), 0),
    ).annotate(stock=F("received") - F("gone"))


def batches_in_stock() -> "QuerySet[Any]":
    """Return the batches with `gone` and `left`."""
    gone = Used.objects.filter(batch=OuterRef("pk")).order_by().values("batch")
    return Batch.objects.annotate(
        gone=Coalesce(Subquery(gone.annotate(n=Sum("quantity")).values("n")), 0)
    ).annotate(left=F("quantity") - F("gone"))


def low_items() -> "QuerySet[Any]":
    """Return the items of which there are no more than the workshop wants to have at least."""
    return items_in_stock().filter(low_at__gt=0, stock__lte=F("low_at"))


@transaction.atomic
def use_piece(used: Used, by: User, *, seen: int | None = None) -> None:
    """Store that a piece went into a watch, or the correction of that.

    The batch's row is locked until it is stored, so two people cannot take the last piece.

    Raises
    ------
    InputError : the batch does not hold so many
    """
    hold_visits([used.visit_id])
    batch = held(Batch.objects.select_related("item")).get(pk=used.batch_id)
    taken = gone_from(batch, besides=used)
    left = batch.quantity - taken
    if used.quantity < 1:
        raise InputError(_("at least one piece goes into a watch"))
    if used.quantity > left:
        raise InputError(
            _("there are %(left)d left of %(item)s, batch %(batch)s; %(wanted)d cannot be taken")
            % {"left": left, "item": batch.item, "batch": batch, "wanted": used.quantity}
        )
    used.by = used.by or by
    save(used, by, seen=seen)


def gone_from(batch: Batch, *, besides: Used | None = None) -> int:
    """Return how many pieces of a batch went into watches, one use left aside."""
    rows = Used.objects.filter(batch=batch)
    if besides is not None and besides.pk:
        rows = rows.exclude(pk=besides.pk)
    return int(rows.aggregate(n=Sum("quantity"))["n"] or 0)


@transaction.atomic
def write_batch(batch: Batch, by: User, *, seen: int | None = None) -> None:
    """Store a batch; it cannot hold fewer than have been used of it.

    Raises
    ------
    InputError : fewer than have been used
    """
    if batch.pk:
        held(Batch.objects.all()).get(pk=batch.pk)
        gone = gone_from(batch)
        if batch.quantity < gone:
            raise InputError(
                _("%(gone)d of this batch are in watches already; it held at least so many")
                % {"gone": gone}
            )
    save(batch, by, seen=seen)


@transaction.atomic
def drop_batch(batch: Batch, by: User, *, seen: int | None) -> Removed | None:
    """Remove a batch of which nothing has been used.

    Raises
    ------
    InputError : a piece of it is in a watch
    """
    held(Batch.objects.all()).get(pk=batch.pk)
    require_unused(batch)
    return remove(batch, by, seen=seen)


@transaction.atomic
def drop_item(item: Item, by: User, *, seen: int | None) -> Removed | None:
    """Remove an item that never had a batch.

    Raises
    ------
    InputError : it has batches
    """
    require_no_batch(item)
    return remove(item, by, seen=seen)


def require_unused(batch: Batch) -> None:
    """Refuse to remove a batch of which something has been used.

    Raises
    ------
    InputError : a piece of it is in a watch
    """
    if gone_from(batch):
        raise InputError(_("pieces of this batch are in watches; it stays, so that they are known"))


def require_no_batch(item: Item) -> None:
    """Refuse to remove an item that has batches.

    Raises
    ------
    InputError : it has
    """
    if Batch.objects.filter(item=item).exists():
        raise InputError(_("this item has batches; remove them first, or leave it in the drawer"))


@dataclass(frozen=True, slots=True, kw_only=True)
class JewelWish:
    """The sizes of a jewel, in mm, each with how far off it may be; None is any size."""

    hole_mm: float | None = None
    outside_mm: float | None = None
    thickness_mm: float | None = None
    within_mm: float = 0.01
    thickness_within_mm: float = 0.05

    def __post_init__(self) -> None:
        if self.within_mm < 0 or self.thickness_within_mm < 0:
            raise InputError(_("a size is sought within 0 mm or more"))
        if self.hole_mm is None and self.outside_mm is None and self.thickness_mm is None:
            raise InputError(_("a jewel is sought by its hole, outside or thickness: give one"))

    @property
    def bounds(self) -> dict[str, tuple[float, float]]:
        """Return the range of each size that was told."""
        asked = (
            ("hole_mm", self.hole_mm, self.within_mm),
            ("outside_mm", self.outside_mm, self.within_mm),
            ("thickness_mm", self.thickness_mm, self.thickness_within_mm),
        )
        return {
            name: (size - within - ROUNDING_MM, size + within + ROUNDING_MM)
            for name, size, within in asked
            if size is not None
        }


ROUNDING_MM = 1e-7
"""0.10 + 0.01 is not quite 0.11 in binary: a size on the edge of the range still belongs to it."""


def fitting(wish: JewelWish) -> list[Item]:
    """Return the jewels and bushes in the drawer that fit a wish, the nearest first."""
    rows = items_in_stock().filter(kind__in=(Kind.JEWEL, Kind.BUSH), stock__gt=0)
    for name, (least, most) in wish.bounds.items():
        rows = rows.filter(**{f"{name}__range": (least, most)})
    return sorted(rows, key=lambda item: farness_mm(item, wish))


def farness_mm(item: Item, wish: JewelWish) -> float:
    """Return the sum of the distances of the told sizes, in mm."""
    return sum(
        abs(float(getattr(item, name)) - (least + most) / 2)
        for name, (least, most) in wish.bounds.items()
    )
