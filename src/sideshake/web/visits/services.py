"""A visit's way: arriving, going from step to step, going home."""

from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.holding import hold_workshop
from sideshake.web.base.saving import save
from sideshake.web.models import ENDED, Owner, Step, User, Visit, Watch, the_workshop
from sideshake.workshop_rules.due import next_service, warranty_end
from sideshake.workshop_rules.numbers import newest, next_number

ORDER = (
    Step.ARRIVED,
    Step.LOOKED_OVER,
    Step.PROPOSED,
    Step.AGREED,
    Step.ON_THE_BENCH,
    Step.ON_TEST,
    Step.READY,
    Step.GONE_HOME,
)


@transaction.atomic
def arrive(owner: Owner, watch: Watch, visit: Visit, by: User) -> Visit:
    """Return a new visit, saved together with its owner and watch where those are new."""
    if owner.pk is None:
        save(owner, by)
    if watch.pk is None:
        watch.owner = owner
        save(watch, by)
    visit.watch = watch
    visit.number = new_number(visit.arrived_on.year)
    visit.step_since = visit.arrived_on
    visit.received_by = by
    save(visit, by)
    return visit


def new_number(year: int) -> str:
    """Return the next visit's number; the workshop's row is locked so that no two are equal."""
    hold_workshop()
    of_year = Visit.objects.filter(number__startswith=f"{year:04d}-")
    return next_number(newest(of_year.values_list("number", flat=True)), year)


@transaction.atomic
def move(visit: Visit, step: Step, by: User, *, on: date, seen: int | None = None) -> None:
    """Bring a visit to a step; going home sets warranty and next service where they are open.

    Raises
    ------
    InputError : the day lies before the arrival, or a declined visit does not say why
    """
    if on < visit.arrived_on:
        raise InputError(
            _("%(on)s is before the watch arrived (%(arrived)s)")
            % {"on": on, "arrived": visit.arrived_on}
        )
    if step == Step.DECLINED and not visit.declined_why.strip():
        raise InputError(_("say why it was declined: the owner will ask, and so will you"))
    visit.step, visit.step_since = step, on
    if step == Step.GONE_HOME:
        fill_afterwards(visit, on)
    elif step not in ENDED:
        forget_afterwards(visit)
    save(visit, by, seen=seen, what=f"{visit.number}: {Step(step).label}")


def fill_afterwards(visit: Visit, on: date) -> None:
    """Set what begins on the day a watch goes home, where nobody has set it."""
    shop = the_workshop()
    visit.gone_home_on = visit.gone_home_on or on
    visit.warranty_until = visit.warranty_until or warranty_end(on, shop.warranty_months)
    visit.next_service_on = visit.next_service_on or next_service(on, shop.service_months)


def forget_afterwards(visit: Visit) -> None:
    """Take back what going home set, for a watch that is here after all; own days stay."""
    if visit.gone_home_on is None:
        return
    shop, on = the_workshop(), visit.gone_home_on
    if visit.warranty_until == warranty_end(on, shop.warranty_months):
        visit.warranty_until = None
    if visit.next_service_on == next_service(on, shop.service_months):
        visit.next_service_on = None
    visit.gone_home_on = None


def next_step(visit: Visit) -> Step | None:
    """Return the step after the present one; None when the visit has ended."""
    if visit.step not in ORDER[:-1]:
        return None
    return ORDER[ORDER.index(Step(visit.step)) + 1]
