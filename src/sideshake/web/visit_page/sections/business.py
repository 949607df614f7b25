"""The sections on the proposal and on money."""

from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.web.models import User, Visit, the_workshop
from sideshake.web.money.services import open_invoices, still_to_pay
from sideshake.workshop_rules.due import days_over
from sideshake.workshop_rules.money import Amount, money_text


def proposal(visit: Visit, _user: User) -> dict[str, Any]:
    """Return the newest version, and whether a first one can be begun."""
    versions = list(visit.proposals.all())
    return {"newest": versions[-1] if versions else None, "may_begin": not versions}


def money(visit: Visit, _user: User) -> dict[str, Any]:
    """Return in a sentence what is still to be paid, and each invoice with the days it is late."""
    left = still_to_pay(visit)
    day = timezone.localdate()
    late = {each.pk: days_over(each.due_on, day) for each, _left in open_invoices(visit)}
    invoices = [(each, late.get(each.pk, 0)) for each in visit.invoices.all()]
    return {"words": words(left) if left is not None else "", "invoices": invoices}


def words(left: Amount) -> str:
    """Return in a sentence what is still to be paid."""
    locale = the_workshop().locale
    if left.value > 0:
        return _("%(sum)s are still to be paid.") % {"sum": money_text(left, locale)}
    if left.value < 0:
        owed = Amount(-left.value, left.currency)
        return _("%(sum)s more were paid than invoiced so far.") % {"sum": money_text(owed, locale)}
    return _("Everything is paid.")
