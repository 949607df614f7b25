"""Rounds: a new one, what it says, editing it, taking a reading out of it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.timing.isochronism import WHEN_TO_READ
from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.base.editing import Editing, edit, visit_at
from sideshake.web.models import Reading, Round
from sideshake.web.rounds import services as service
from sideshake.web.rounds.drawn import picture_of
from sideshake.web.rounds.forms import NewRoundForm, RoundForm
from sideshake.web.rounds.summary import says


def new_round(request: HttpRequest, number: str) -> HttpResponse:
    """Choose positions, wind and times; one press begins the usual round."""
    visit = visit_by_number(number)
    editing = Editing(
        title=_("A round"),
        done=lambda saved: reverse("listen-round", args=[saved.pk]),
        template="rounds/new.html",
        shown={
            "visit": visit,
            "presets": service.PRESETS,
            "chronograph": service.may_have_chronograph(visit),
        },
    )
    return edit(request, NewRoundForm, service.usual_round(visit), editing)


def round_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what a round says: sentences first."""
    found = by_pk(pk)
    others = list(found.visit.rounds.exclude(pk=pk).prefetch_related("readings"))
    shown = {"round": found, "visit": found.visit, "says": says(found, others)}
    return render(request, "rounds/one.html", {**shown, "when_to_read": WHEN_TO_READ})


def edit_round(request: HttpRequest, pk: int) -> HttpResponse:
    """Edit a round's wind, note, and whether it was after the work."""
    editing = Editing(
        title=_("The round"),
        done=lambda saved: reverse("round", args=[saved.pk]),
        write=service.save_round,
        shown={
            "remove": reverse("remove-round", args=[pk]),
            "back": reverse("round", args=[pk]),
        },
    )
    return edit(request, RoundForm, by_pk(pk), editing)


@require_POST
def remove_round(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a round aside; its readings stay."""
    found = by_pk(pk)
    count = found.readings.count()
    stays = ngettext("Its reading stays at the visit.", "Its %(n)d readings stay.", count)
    removal = Removal(
        done=visit_at("heard")(found),
        stay=reverse("round", args=[pk]),
        also=(stays % {"n": count},) if count else (),
        called=_("round “%(round)s”") % {"round": found},
    )
    return ask_and_remove(request, found, signed_in(request), removal)


@require_POST
def leave_round(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then take a reading out of its round."""
    rows = Reading.objects.select_related("visit__watch__owner", "round")
    reading = get_object_or_404(rows, pk=pk)
    if reading.round is None:
        raise InputError(_("this reading is in no round"))
    at_round = reverse("round", args=[reading.round.pk])
    removal = Removal(
        done=at_round,
        stay=at_round,
        act=service.take_out,
        also=(
            _("The round then says what its other readings say. The reading stays at the visit."),
        ),
        title=_("Take %(which)s out of its round?") % {"which": reading.called},
        do=_("Take it out"),
        said=_("The reading is out of the round; it is still at the visit."),
    )
    return ask_and_remove(request, reading, signed_in(request), removal)


def round_picture(_request: HttpRequest, pk: int, drawn: str) -> HttpResponse:
    """Draw a round by position, or its heavy spot."""
    return HttpResponse(picture_of(by_pk(pk), drawn), content_type="image/svg+xml")


def by_pk(pk: int) -> Round:
    """Return a round with its visit and readings, or 404."""
    rows = Round.objects.select_related("visit__watch__owner").prefetch_related("readings")
    return get_object_or_404(rows, pk=pk)
