"""What comes next at the very first visit; each hint goes away when it is done."""

from collections.abc import Callable
from dataclasses import dataclass

from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from sideshake.web.models import ENDED, User, Visit, the_workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class Hint:
    """One thing to do at a visit: `words` say why, `press` stands on its button."""

    words: str | Promise
    press: str | Promise
    where: Callable[[Visit], str]
    done: Callable[[Visit], bool]
    for_pricing: bool = False


def page(name: str) -> Callable[[Visit], str]:
    """Return what leads from a visit to one of its pages."""
    return lambda visit: reverse(name, args=[visit.number])


HINTS = (
    Hint(
        words=_("Photograph the watch as it came, before anything is touched."),
        press=_("Add photographs"),
        where=page("add-photographs"),
        done=lambda visit: bool(visit.photographs.all()),
    ),
    Hint(
        words=_("Look the watch over: one question after the other, with what to look for."),
        press=_("Look it over"),
        where=page("look-over"),
        done=lambda visit: bool(visit.look_over.all()),
    ),
    Hint(
        words=_("Lay the watch on the microphone and hear how it runs; half a minute is enough."),
        press=_("Listen"),
        where=page("listen"),
        done=lambda visit: bool(visit.readings.all()),
    ),
    Hint(
        words=_("Write the proposal: options with their prices, from what was found."),
        press=_("Proposal"),
        where=lambda _visit: "#proposal",
        done=lambda visit: bool(visit.proposals.all()),
        for_pricing=True,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class HintGiven:
    """A hint as the page shows it."""

    words: str | Promise
    press: str | Promise
    address: str
    nth: int
    of: int


def hint_at(visit: Visit, user: User) -> HintGiven | None:
    """Return what comes next at a visit, as long as it is the only one and hints are wanted."""
    if not the_workshop().hints or visit.step in ENDED:
        return None
    wanted = [each for each in HINTS if user.may_price or not each.for_pricing]
    open_ = [each for each in wanted if not each.done(visit)]
    if not open_ or Visit.objects.exclude(pk=visit.pk).exists():
        return None
    hint = open_[0]
    return HintGiven(
        words=hint.words,
        press=hint.press,
        address=hint.where(visit),
        nth=len(wanted) - len(open_) + 1,
        of=len(wanted),
    )
