"""The next press of a visit: what is still open in its step, in words, and where that is done."""

from collections.abc import Callable
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sideshake.web.models import PlanStep, Step, User, Visit
from sideshake.web.money.services import standing_of, still_to_pay
from sideshake.web.templatetags.bench import amount


@dataclass(frozen=True, slots=True, kw_only=True)
class NextPress:
    """What is pressed next on a visit's page, and what is open that asks for it."""

    words: str
    address: str
    open: str
    sends: bool = False
    """Whether it begins something, and so is a form and not a link."""


def next_press(visit: Visit, user: User, *, unasked: int) -> NextPress | None:
    """Return what is to be done before the next step; None when nothing is open.

    Reckoned from records already fetched, as a section of the page is; `unasked` is how many
    questions of the look-over have no answer.
    """
    if visit.step == Step.ARRIVED:
        return of_arrived(visit, unasked)
    rule = RULES.get(Step(visit.step))
    return rule(visit, user) if rule else None


def of_arrived(visit: Visit, unasked: int) -> NextPress | None:
    """Return the photographs, then the look-over, in the order in which hints tell of them."""
    if not visit.photographs.all():
        return NextPress(
            words=_("Add photographs"),
            address=reverse("add-photographs", args=[visit.number]),
            open=_("there is no photograph of how it came"),
        )
    if unasked:
        told = ngettext(
            "one question of the look-over is not answered",
            "%(n)d questions of the look-over are not answered",
            unasked,
        )
        return NextPress(
            words=_("Look it over"),
            address=reverse("look-over", args=[visit.number]),
            open=told % {"n": unasked},
        )
    return None


def of_proposal(visit: Visit, user: User) -> NextPress | None:
    """Return the proposal while it is not begun, not sent or not answered."""
    newest = max(visit.proposals.all(), key=lambda each: each.edition, default=None)
    if not user.may_price:
        return None
    if newest is None:
        return NextPress(
            words=_("Begin the proposal"),
            address=reverse("begin-proposal", args=[visit.number]),
            open=_("there is no proposal"),
            sends=True,
        )
    words = {"edition": newest.edition, "who": visit.watch.owner}
    open_ones = {
        "draft": (_("Finish the proposal"), _("proposal %(edition)s is not sent")),
        "sent": (_("Write down the answer"), _("%(who)s has not answered proposal %(edition)s")),
    }
    if newest.state not in open_ones:
        return None
    press, told = open_ones[newest.state]
    at = reverse("proposal", args=[visit.number, newest.edition])
    return NextPress(words=press, address=at, open=told % words)


def of_agreed(visit: Visit, _user: User) -> NextPress | None:
    """Return the bench plan while there is none."""
    if any(each.kind == PlanStep.Kind.WORK for each in visit.plan.all()):
        return None
    return NextPress(
        words=_("Make the bench plan"),
        address=reverse("plan", args=[visit.number]),
        open=_("there is no bench plan"),
    )


def of_bench(visit: Visit, user: User) -> NextPress | None:
    """Return the bench plan while a step of it is open."""
    work = [each for each in visit.plan.all() if each.kind == PlanStep.Kind.WORK]
    left = sum(not each.done_at for each in work)
    if not left:
        return of_agreed(visit, user)
    told = ngettext("one step of the plan is open", "%(n)d steps of the plan are open", left)
    return NextPress(
        words=_("Go on at the bench"),
        address=reverse("plan", args=[visit.number]),
        open=told % {"n": left},
    )


def of_test(visit: Visit, _user: User) -> NextPress | None:
    """Return the tests while none is listed, or one is open."""
    tests = [each for each in visit.plan.all() if each.kind == PlanStep.Kind.TEST]
    left = sum(not each.result for each in tests)
    if tests and not left:
        return None
    told = ngettext("one test is open", "%(n)d tests are open", left) % {"n": left}
    return NextPress(
        words=_("Test it"),
        address=reverse("home-tests", args=[visit.number]),
        open=told if tests else _("no test is listed"),
    )


def of_ready(visit: Visit, user: User) -> NextPress | None:
    """Return invoice or payment while something is not invoiced or not paid."""
    if not user.may_price:
        return None
    if not any(each.kind == "work" for each in standing_of(visit)):
        return NextPress(
            words=_("New invoice"),
            address=reverse("new-invoice", args=[visit.number]),
            open=_("no invoice is issued"),
        )
    left = still_to_pay(visit)
    if left is None or left.value <= 0:
        return None
    return NextPress(
        words=_("Write down a payment"),
        address=reverse("new-payment", args=[visit.number]),
        open=_("%(sum)s are still to be paid") % {"sum": amount(left.value, left.currency)},
    )


RULES: dict[Step, Callable[[Visit, User], NextPress | None]] = {
    Step.LOOKED_OVER: of_proposal,
    Step.PROPOSED: of_proposal,
    Step.AGREED: of_agreed,
    Step.ON_THE_BENCH: of_bench,
    Step.ON_TEST: of_test,
    Step.READY: of_ready,
}
