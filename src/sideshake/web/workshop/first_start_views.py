"""The first start: four questions, then where to begin."""

import locale
from functools import partial

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation.trans_real import parse_accept_lang_header
from django.views.decorators.http import require_POST

from sideshake.web.base.access import running_the_workshop
from sideshake.web.base.editing import Editing, edit, version_seen
from sideshake.web.base.saving import save
from sideshake.web.models import Workshop
from sideshake.web.workshop.first_start_forms import BeginningForm
from sideshake.web.workshop.guessing import Guess, guessed
from sideshake.web.workshop.views import stored_workshop


def begin_here(request: HttpRequest) -> HttpResponse:
    """Ask the four questions; what can be guessed is filled in, and said to be a guess."""
    running_the_workshop(request)
    guess, shop = guess_for(request), stored_workshop()
    shown = {"guess": guess, "untouched": shop.untouched, "zone": settings.TIME_ZONE}

    def done(_saved: Workshop) -> str:
        return reverse("begun")

    editing = Editing(
        title=_("Four questions to begin with"),
        done=done,
        template="workshop/begin.html",
        shown=shown,
    )
    return edit(request, partial(BeginningForm, guess=guess), shop, editing)


def guess_for(request: HttpRequest) -> Guess | None:
    """Return the guess from the browser's languages, else from this computer's."""
    wanted = [tag for tag, _weight in parse_accept_lang_header(browser_languages(request))]
    return guessed([*wanted, locale.getlocale()[0] or ""])


def browser_languages(request: HttpRequest) -> str:
    """Return the languages that the browser asks for."""
    return str(request.headers.get("Accept-Language", ""))


def begun(request: HttpRequest) -> HttpResponse:
    """Show where to go first: a visit, the microphone, or the demo beside it."""
    running_the_workshop(request)
    return render(request, "workshop/begun.html")


@require_POST
def no_hints(request: HttpRequest) -> HttpResponse:
    """Give no more hints at visits."""
    by = running_the_workshop(request)
    row = stored_workshop()
    row.hints = False
    save(row, by, seen=version_seen(request))
    messages.success(request, _("No more hints; the settings bring them back."))
    return redirect("today")
