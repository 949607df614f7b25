"""What was removed: the list of it, the way back, and throwing away for good what is old."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.web.base.access import running_the_workshop, signed_in
from sideshake.web.base.asking import SureQuestion, unsure
from sideshake.web.base.paging import kept_query, page_of
from sideshake.web.models import KEPT, Removed
from sideshake.web.removal.services import old_ones, take_back, throw_away, waiting_for
from sideshake.web.storage.leaving import left_words

SECTIONS = {
    "photograph": "photographs", "finding": "findings", "lookover": "looked-over",
    "measurement": "measured", "reading": "heard", "round": "heard", "leaving": "heard",
    "programme": "heard", "comparison": "heard", "option": "proposal", "payment": "money",
    "planstep": "bench", "outwork": "bench", "used": "bench",
}  # fmt: skip
"""Where on its visit's page each kind stands."""
ROOMS = {
    "item": "drawer", "batch": "drawer", "logo": "settings", "clock": "clock",
    "calibre": "calibres",
}  # fmt: skip


def removed(request: HttpRequest) -> HttpResponse:
    """List what can be taken back, the newest first; of one visit when the address names it."""
    user, number = signed_in(request), request.GET.get("visit", "")
    rows = waiting_for(user)
    if number:
        rows = rows.filter(visit__number=number)
    shown = {
        "page": page_of(request, rows),
        "kept": kept_query(request),
        "number": number,
        "old": old_ones(timezone.now()).count() if user.may_run else 0,
        "days": KEPT.days,
    }
    return render(request, "removal/list.html", shown)


@require_POST
def take_it_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Put back what was removed, as it was."""
    user = signed_in(request)
    found = get_object_or_404(waiting_for(user), pk=pk)
    take_back(found, user)
    messages.success(request, _("Taken back: %(what)s.") % {"what": found.what})
    return redirect(address_of(found))


def address_of(found: Removed) -> str:
    """Return where what was taken back is to be seen."""
    if found.visit is None:
        return reverse(ROOMS.get(found.kind, "removed"))
    at = SECTIONS.get(found.kind, "history")
    return f"{reverse('visit', args=[found.visit.number])}#{at}"


@require_POST
def throw_old_away(request: HttpRequest) -> HttpResponse:
    """Throw away for good what was removed long ago; for the owner of the workshop."""
    running_the_workshop(request)
    now = timezone.now()
    count = old_ones(now).count()
    if not count:
        raise InputError(_("nothing was removed more than %(days)d days ago") % {"days": KEPT.days})
    things = ngettext("one removed thing", "%(n)d removed things", count) % {"n": count}
    old = ngettext(
        "It was removed more than %(days)d days ago. It cannot be taken back then.",
        "They were removed more than %(days)d days ago. They cannot be taken back then.",
        count,
    )
    files = ngettext(
        "Photographs that nothing else needs are deleted with it; backups keep them.",
        "Photographs that nothing else needs are deleted with them; backups keep them.",
        count,
    )
    question = SureQuestion(
        title=_("Throw %(things)s away for good?") % {"things": things},
        told=(old % {"days": KEPT.days}, files),
        do=_("Throw away for good"),
        stay=reverse("removed"),
    )
    page = unsure(request, question)
    if page:
        return page
    gone = throw_away(now)
    told = ngettext(
        "One removed thing was thrown away for good, with %(mb).1f MB of files.",
        "%(n)d removed things were thrown away for good, with %(mb).1f MB of files.",
        gone.count,
    )
    said = told % {"n": gone.count, "mb": gone.size_bytes / 1e6}
    messages.success(request, f"{said} {left_words()}".strip())
    return redirect("removed")
