"""The whole history of a visit: who changed what, when, from what to what."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.apps import apps
from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.models import money_fields
from sideshake.web.base.paging import page_of
from sideshake.web.base.saving import label
from sideshake.web.models import Change, User, Visit
from sideshake.web.visits.value_words import exact_fields, in_words

PRICED_KINDS = ("proposal", "option", "invoice", "payment")
"""Records that are prices and nothing else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryLine:
    """A line of the history as a person reads it."""

    at: datetime
    by: User | None
    what: str
    fields: tuple[tuple[str, str, str], ...]
    """What it is called, before, after."""


def history(request: HttpRequest, number: str) -> HttpResponse:
    """Show who changed what in a visit, its watch and its owner, the newest first."""
    found, user = visit_by_number(number), signed_in(request)
    page = page_of(request, changes_for(found, user))
    told = [told_to(user, change) for change in page]
    shown = {"visit": found, "page": page, "told": told, "kept": ""}
    return render(request, "visits/history.html", shown)


def changes_for(visit: Visit, user: User) -> QuerySet[Change]:
    """Return the history of a visit as far as it is the reader's business."""
    watch = Q(visit=None, kind="watch", row=visit.watch_id)
    owner = Q(visit=None, kind="owner", row=visit.watch.owner_id)
    rows = Change.objects.filter(Q(visit=visit) | watch | owner).select_related("by")
    return rows if user.may_price else rows.exclude(kind__in=PRICED_KINDS)


def told_to(user: User, change: Change) -> HistoryLine:
    """Return a line of the history in the reader's words."""
    return HistoryLine(
        at=change.at, by=change.by, what=change.what, fields=tuple(fields_told(user, change))
    )


def fields_told(user: User, change: Change) -> Iterator[tuple[str, str, str]]:
    """Yield the name of each changed field, its value before and after."""
    record = apps.get_model("bench", change.kind)()
    hidden = frozenset() if user.may_price else money_fields(type(record))
    decimal = exact_fields(type(record))
    for name, values in change.fields.items():
        if name not in hidden:
            before, after = (in_words(each, exact=name in decimal) for each in values)
            yield label(record, name), before, after
