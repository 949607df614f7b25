"""New calibres: as a copy, from a blank with five questions, from a visit, or from a file."""

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.movement.written_lines import Written
from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.editing import version_seen
from sideshake.web.base.record_form import overtaken_words
from sideshake.web.base.saving import EditConflict
from sideshake.web.base.version_field import MOST_DIGITS
from sideshake.web.calibres import services as service
from sideshake.web.calibres.forms import BlankForm, CopyForm
from sideshake.web.calibres.sheet_file import Checked, checked_file, file_sent, take_in
from sideshake.web.models import Calibre, Visit


def new_calibre(request: HttpRequest) -> HttpResponse:
    """Make a calibre as a copy or from a blank; from a visit it is tied to the watch."""
    number = request.POST.get("visit", "") or request.GET.get("visit", "")
    visit = visit_by_number(number) if number else None
    if visit is not None:
        service.require_untied(visit.watch)
    beats = service.heard_beats(visit) if visit else None
    forms = forms_for(request, visit, beats)
    sent = forms.get(request.POST.get("how", "")) if request.method == "POST" else None
    status, wrong = (422 if request.method == "POST" else 200), ""
    if sent is not None and sent.is_valid():
        try:
            made = sent_calibre(request, sent, visit)
            return redirect(
                "edit-calibre", made.pk, "movement" if sent is forms["copy"] else "train"
            )
        except EditConflict as overtaken:
            wrong, status = overtaken_words(overtaken), 409
            visit = visit_by_number(number)
        except InputError as error:
            wrong = error.sentence
    shown = {
        "visit": visit, "copy": forms["copy"], "blank": forms["blank"], "wrong": wrong,
        "seen": visit.watch.version if visit else 0,
    }  # fmt: skip
    return render(request, "calibres/new.html", shown, status=status)


def forms_for(request: HttpRequest, visit: Visit | None, beats: float | None) -> dict[str, Any]:
    """Return the two ways to a new calibre, the one that was sent filled in."""
    how = request.POST.get("how", "")
    title = visit.watch.calibre_seen if visit else ""
    like = request.GET.get("like", "")
    first = {"title": title, "beats": f"{beats:.0f}" if beats else ""}
    return {
        "copy": CopyForm(
            request.POST if how == "copy" else None,
            initial={"title": title, "like": like},
            prefix="copy",
        ),
        "blank": BlankForm(request.POST if how == "blank" else None, initial=first, prefix="blank"),
    }


@transaction.atomic
def sent_calibre(request: HttpRequest, form: Any, visit: Visit | None) -> Calibre:
    """Return the calibre that a form asks for, stored; tied to the visit's watch if there is one.

    Raises
    ------
    InputError : an answer cannot be
    Overtaken : somebody else has changed the watch meanwhile
    """
    by, typed = signed_in(request), form.cleaned_data
    if isinstance(form, CopyForm):
        sheet, note = service.copy_of(typed["like"], typed["title"])
        what = _("copied from %(like)s") % {"like": typed["like"]}
    else:
        sheet, note, what = service.blank(typed["title"], asked_of(typed, visit)), "", ""
    made = service.keep_new(sheet, note, by, title=typed["title"], what=what)
    if visit is not None:
        service.tie(made, visit.watch, by, seen=version_seen(request))
        messages.success(
            request, _("Visit %(number)s has this calibre now.") % {"number": visit.number}
        )
    return made


def asked_of(typed: dict[str, Any], visit: Visit | None) -> service.Asked:
    """Return the answers to the five questions."""
    beats = service.heard_beats(visit) if visit else None
    heard = visit is not None and beats is not None and round(beats) == typed["beats"]
    source = _("heard on visit %(number)s") % {"number": visit.number} if visit and heard else ""
    return service.Asked(
        beats=Written(value=typed["beats"], source=source) if typed["beats"] else None,
        lift_angle=typed["lift_angle"],
        automatic=typed["automatic"],
        chronograph=typed["chronograph"],
        calendar=typed["calendar"],
    )


def calibre_file(request: HttpRequest) -> HttpResponse:
    """Check a file and say what is wrong with it, or what it tells; take it in at a yes."""
    if request.method != "POST":
        return file_page(request, None)
    upload = request.FILES.get("file")
    if upload is None and not request.POST.get("text", "").strip():
        raise InputError(_("choose a file first: a calibre sheet that ends in .toml"))
    checked = checked_file(file_sent(upload) if upload else request.POST["text"])
    if checked.sheet is None:
        return file_page(request, checked, status=422)
    key = request.POST.get("into", "")
    if upload is not None or not key:
        return file_page(request, checked)
    into = None if key == "new" else get_object_or_404(Calibre, pk=key_in(key))
    try:
        made = take_in(checked.text, signed_in(request), into=into, seen=version_seen(request))
    except EditConflict as overtaken:
        return file_page(request, checked, status=409, wrong=overtaken_words(overtaken))
    messages.success(request, _("Taken in: %(name)s.") % {"name": made.name})
    return redirect(reverse("calibre", args=[made.name]))


def key_in(text: str) -> int:
    """Return the key that was sent; 0, which no record has, for anything else."""
    return int(text) if text.isdecimal() and len(text) <= MOST_DIGITS else 0


def file_page(
    request: HttpRequest, checked: Checked | None, *, status: int = 200, wrong: str = ""
) -> HttpResponse:
    """Show the file's faults, or what it tells and how it can be taken in."""
    named = request.POST.get("for", "") or request.GET.get("for", "")
    sheet = checked.sheet if checked else None
    same = like_named(named, sheet.name) if sheet else None
    shown = {"checked": checked, "same": same, "wrong": wrong, "named": named}
    return render(request, "calibres/file.html", shown, status=status)


def like_named(name: str, title: str) -> Calibre | None:
    """Return the calibre of the workshop's own that a file may be the next version of."""
    names = [each for each in (name, service.usual_name(title)) if each]
    found = {each.name: each for each in Calibre.objects.filter(name__in=names)}
    return next((found[each] for each in names if each in found), None)
