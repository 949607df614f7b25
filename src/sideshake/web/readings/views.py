"""Recordings and what they say."""

from django.http import FileResponse, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.core.version import EAR
from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.asking import Removal, SureQuestion, ask_and_remove, unsure
from sideshake.web.base.editing import Editing, edit, version_seen, visit_at
from sideshake.web.base.file_response import given_out
from sideshake.web.base.saving import save
from sideshake.web.comparison.turning import stems_in
from sideshake.web.models import Reading, User, Visit
from sideshake.web.readings.forms import ReadingForm
from sideshake.web.readings.heard_rows import LIVE, WAITING
from sideshake.web.readings.hearing import file_of, hear_soon, picture_file, stop, take_in
from sideshake.web.readings.listening import throw_away
from sideshake.web.readings.uploading import UploadSaid, answer, by_script, heard
from sideshake.web.rehearing.putting_back import earlier_of


def add_recordings(request: HttpRequest, number: str) -> HttpResponse:
    """Take in one or several recordings made in the same way; each refused one is named."""
    visit = visit_by_number(number)
    form = ReadingForm(request.POST or None, instance=Reading(visit=visit))
    said: list[UploadSaid] = []
    problems: list[str] = []
    address = f"{reverse('visit', args=[number])}#heard"
    if request.method == "POST" and form.is_valid():
        said, problems = taken_in(request, visit)
        if said and not problems and not by_script(request):
            return redirect(address)
        problems = problems or ([] if said else [_("choose a recording first")])
    if by_script(request) and request.method == "POST":
        return answer(said, [*problems, *wrong_fields(form)], address)
    shown = {"visit": visit, "form": form, "problems": problems}
    failed = bool(problems or form.errors)
    return render(request, "readings/recordings_add.html", shown, status=422 if failed else 200)


def taken_in(request: HttpRequest, visit: Visit) -> tuple[list[UploadSaid], list[str]]:
    """Return what each recording that was sent says, and which were refused and why."""
    said: list[UploadSaid] = []
    problems = []
    for upload in request.FILES.getlist("recordings"):
        made = ReadingForm(request.POST, instance=Reading(visit=visit)).save(commit=False)
        try:
            take_in(visit, upload.chunks(), made, signed_in(request))
            said.append(heard(made, str(upload.name)))
        except InputError as error:
            problems.append(f"{upload.name}: {error}")
    return said, problems


def wrong_fields(form: ReadingForm) -> list[str]:
    """Return what is wrong in a form, each with the name of its field."""
    return [f"{form[name].label}: {' '.join(map(str, form[name].errors))}" for name in form.errors]


def reading(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what a recording says: the sentence first, then the pictures."""
    found = by_pk(pk)
    if by_script(request):
        return answer([heard(found)], [], reverse("reading", args=[pk]))
    shown = {
        "reading": found,
        "waiting": WAITING,
        "stems": stems_in(found.figures),
        "ear": EAR,
        "earlier": earlier_of(pk),
    }
    return render(request, "readings/one.html", shown)


def edit_reading(request: HttpRequest, pk: int) -> HttpResponse:
    """Edit how the watch lay and was wound; heard again, since the lift angle may be another."""
    found = by_pk(pk)
    if found.state == LIVE:
        raise InputError(_("this reading is still listened to; finish it first"))
    editing = Editing(
        title=_("How it was heard"),
        done=lambda saved: reverse("reading", args=[saved.pk]),
        write=save_and_hear,
        shown={"remove": reverse("remove-reading", args=[pk])},
    )
    return edit(request, ReadingForm, found, editing)


def save_and_hear(record: Reading, by: User, *, seen: int | None = None) -> None:
    """Save a reading and hear its recording again."""
    if record.recording is not None:
        file_of(record.recording)  # without it, hearing would only take the figures away
    record.state = WAITING
    save(record, by, seen=seen)
    hear_soon(record)


@require_POST
def stop_reading(_request: HttpRequest, pk: int) -> HttpResponse:
    """Stop a long hearing."""
    stop(by_pk(pk))
    return redirect("reading", pk)


@require_POST
def call_it_a_watch(request: HttpRequest, pk: int) -> HttpResponse:
    """Read a recording as a watch although it does not sound like one."""
    return said_watch(request, by_pk(pk), said=True)


@require_POST
def call_it_no_watch(request: HttpRequest, pk: int) -> HttpResponse:
    """Take back that it is a watch: hear the recording again without that."""
    return said_watch(request, by_pk(pk), said=False)


def said_watch(request: HttpRequest, found: Reading, *, said: bool) -> HttpResponse:
    """Write down what somebody says of a recording, and hear it again."""
    if found.recording is None or found.state in (LIVE, WAITING):
        raise InputError(_("only a recording that was heard can be called a watch"))
    found.said_watch = said
    save_and_hear(found, signed_in(request), seen=version_seen(request))
    return redirect("reading", found.pk)


@require_POST
def remove_reading(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a reading aside; the recording stays in the data folder."""
    found = by_pk(pk)
    if found.state == LIVE:
        return throw_live_away(request, found)
    removal = Removal(
        done=visit_at("heard")(found),
        stay=reverse("reading", args=[pk]),
        also=(str(found), _("Its recording stays in the data folder.")),
        called=_("reading %(which)s") % {"which": found.called},
    )
    return ask_and_remove(request, found, signed_in(request), removal)


def throw_live_away(request: HttpRequest, found: Reading) -> HttpResponse:
    """Ask once, then throw away what is being listened to, with its sound."""
    question = SureQuestion(
        title=_("Throw away what is being listened to?"),
        told=(_("Its sound is deleted with it, and this cannot be taken back."),),
        do=_("Throw it away"),
        stay=reverse("reading", args=[found.pk]),
    )
    page = unsure(request, question)
    if page:
        return page
    throw_away(found, signed_in(request))
    return redirect(visit_at("heard")(found))


def reading_picture(_request: HttpRequest, pk: int, kind: str) -> FileResponse:
    """Draw a reading's lateness, amplitude or portrait."""
    path = picture_file(by_pk(pk), kind)
    return FileResponse(path.open("rb"), content_type="image/svg+xml")


def recording_file(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Give out a recording, or the part of it that the browser plays."""
    found = by_pk(pk)
    if found.recording is None:
        raise InputError(_("this reading has no recording"))
    return given_out(request, file_of(found.recording))


def by_pk(pk: int) -> Reading:
    """Return a reading with its visit and recording, or 404."""
    return get_object_or_404(
        Reading.objects.select_related("visit__watch__owner", "recording"), pk=pk
    )
