"""A page to show: the owner's consent, what is left out, what still tells too much, the archive."""

import hashlib

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.documents.public_story import archive, site
from sideshake.web.base.access import publishing, visit_by_number
from sideshake.web.base.asking import SureQuestion, unsure
from sideshake.web.base.editing import Editing, edit, version_seen
from sideshake.web.models import Visit
from sideshake.web.public_story.forms import ConsentForm, ShowForm
from sideshake.web.public_story.services import (
    agree,
    has_agreed,
    note_shown,
    require_agreed,
    withdraw,
)
from sideshake.web.public_story.story import kept_back
from sideshake.web.templatetags.bench import day as day_words
from sideshake.web.visits.queries import whole_visit


def show(request: HttpRequest, number: str) -> HttpResponse:
    """Show what the page would say, what is left out and what still tells too much."""
    publishing(request)
    visit = whole_visit(number)
    if not has_agreed(visit):
        return render(request, "public_story/show.html", {"visit": visit})
    form = ShowForm(request.POST if request.method == "POST" else None, visit=visit)
    if request.POST.get("do") == "hide":
        form = ShowForm(form.hushed(), visit=visit)
    return preview(request, form)


@require_POST
def write_page(request: HttpRequest, number: str) -> HttpResponse:
    """Return the page as an archive, told in the history; refused while it tells too much."""
    by = publishing(request)
    visit = whole_visit(number)
    require_agreed(visit)
    form = ShowForm(request.POST, visit=visit)
    if not form.is_valid() or not all(each.may_stay for each in form.telling()):
        return preview(request, form, refused=True)
    shown = form.shown()
    folder = slugify(shown.texts.title)[:60] or "watch"
    data = archive(site(shown), folder)
    note_shown(visit, by, shown, sha256=hashlib.sha256(data).hexdigest())
    answer = HttpResponse(data, content_type="application/zip")
    answer.headers["Content-Disposition"] = f'attachment; filename="{folder}.zip"'
    return answer


def preview(request: HttpRequest, form: ShowForm, *, refused: bool = False) -> HttpResponse:
    """Show the form with what it would tell."""
    telling = form.telling() if form.is_valid() else []
    shown = {
        "visit": form.visit,
        "form": form,
        "agreed": True,
        "kept_back": kept_back(form.visit),
        "telling": telling,
        "open": sum(not each.may_stay for each in telling),
        "refused": refused,
    }
    return render(request, "public_story/show.html", shown, status=422 if refused else 200)


def consent(request: HttpRequest, number: str) -> HttpResponse:
    """Record that the owner agreed, when and how."""
    publishing(request)
    editing = Editing(
        title=_("The owner agrees that visit %(number)s is shown") % {"number": number},
        done=address_of,
        shown={"back": reverse("show", args=[number])},
        write=agree,
    )
    return edit(request, ConsentForm, visit_by_number(number), editing)


@require_POST
def withdraw_consent(request: HttpRequest, number: str) -> HttpResponse:
    """Ask once, then record that the owner does not agree any more."""
    by = publishing(request)
    visit = visit_by_number(number)
    words = {
        "who": visit.watch.owner,
        "on": day_words(visit.show_agreed_on) or "–",
        "how": visit.show_agreed_how or "–",
    }
    question = SureQuestion(
        title=_("Write down that %(who)s no longer agrees?") % words,
        told=(
            _("The consent of %(on)s (%(how)s) is gone then, and visit %(number)s is not shown.")
            % {**words, "number": number},
            _("What is published already you take down yourself."),
        ),
        do=_("No longer agrees"),
        stay=address_of(visit),
    )
    page = unsure(request, question)
    if page:
        return page
    withdraw(visit, by, seen=version_seen(request))
    messages.success(request, _("It will not be shown any more. Take down what is published."))
    return redirect("show", number)


def address_of(visit: Visit) -> str:
    """Return the address of a visit's page to show."""
    return reverse("show", args=[visit.number])
