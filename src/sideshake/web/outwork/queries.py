"""What pages read of jewel orders."""

from django.db.models import QuerySet

from sideshake.documents.kinds import PaperKind
from sideshake.web.models import Issued, JewelOrder, Visit


def orders_of(visit: Visit) -> list[JewelOrder]:
    """Return the orders that hold a part for a visit, the newest first."""
    found = {wish.order for wish in visit.outwork.all() if wish.jewel and wish.order}
    return sorted(found, key=lambda order: (order.ordered_on, order.pk), reverse=True)


def issues_of(stored: JewelOrder) -> "QuerySet[Issued]":
    """Return an order's papers as they were issued, the first version first."""
    return Issued.objects.filter(kind=PaperKind.JEWEL_ORDER.value, of=stored.number)
