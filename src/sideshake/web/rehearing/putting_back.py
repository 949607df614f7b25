"""The way back from hearing again: earlier figures take their place again, one or a whole run."""

from typing import Any

from django.db import transaction
from django.db.models import F, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.holding import held, hold_visits
from sideshake.web.base.saving import save
from sideshake.web.models import ENDED, RENEWED, Earlier, Reading, Rehearing, User
from sideshake.web.rehearing.models import SETTLED


@transaction.atomic
def put_back(row: Earlier, by: User | None) -> None:
    """Let a reading say again what it said before a run heard it.

    Raises
    ------
    InputError : it says so already, was left as it was, or was heard or edited since
    """
    row.reading = locked(row.reading_id)
    require_way_back(row)
    for name, value in row.figures.items():
        field: Any = Reading._meta.get_field(name)
        setattr(row.reading, name, field.to_python(value))
    save(row.reading, by, what=history_words(row))
    row.put_back_at = timezone.now()
    row.save()


def locked(pk: int) -> Reading:
    """Return a reading as it is stored, locked until the transaction ends."""
    hold_visits(Reading.objects.filter(pk=pk).values_list("visit", flat=True))
    return held(Reading.objects.select_related("visit__watch__owner")).get(pk=pk)


def require_way_back(row: Earlier) -> None:
    """Refuse to put earlier figures back that cannot take their place again.

    Raises
    ------
    InputError : it says so already, was left as it was, or was heard or edited since
    """
    if not row.may_go_back:
        raise InputError(why_not_back(row))


def why_not_back(row: Earlier) -> str:
    """Return why earlier figures cannot take their place again."""
    if row.put_back_at:
        return _("the earlier figures are back already")
    if row.fate not in RENEWED:
        return _("this reading was left as it was: there is nothing to put back")
    return _("this reading was heard again since; its earlier figures do not fit it any more")


def history_words(row: Earlier) -> str:
    """Return what the history tells of figures put back."""
    told = _("put back as heard by %(who)s") % {"who": row.heard_by}
    if row.reading.visit.step not in ENDED:
        return told
    return _("%(told)s; papers printed meanwhile say other figures") % {"told": told}


def may_go_back(run: Rehearing) -> QuerySet[Earlier]:
    """Return the rows of a run whose earlier figures can take their place again."""
    rows = run.readings.filter(fate__in=RENEWED, put_back_at=None, reading__state__in=SETTLED)
    return rows.filter(reading__heard_at=F("heard_at")).order_by("pk")


def put_all_back(run: Rehearing, by: User | None) -> int:
    """Return how many readings of a run say again what they said before it.

    Those that were heard or edited since stay as they are.

    Raises
    ------
    InputError : the run still goes on, or nothing of it can be put back
    """
    if run.ended_at is None:
        raise InputError(_("it still goes on: stop it first"))
    rows = list(may_go_back(run))
    if not rows:
        raise InputError(_("nothing of it can be put back any more"))
    for row in rows:
        put_back(row, by)
    return len(rows)


def earlier_of(pk: int) -> QuerySet[Earlier]:
    """Return the figures a reading had before it was heard again, the newest first."""
    rows = Earlier.objects.filter(reading=pk, heard_at__isnull=False)
    return rows.select_related("reading", "run").order_by("-pk")
