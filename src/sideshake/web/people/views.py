"""Those who work here: for the owner of the workshop only."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.web.base.access import running_the_workshop
from sideshake.web.models import User
from sideshake.web.people.forms import NewPasswordForm, PersonForm
from sideshake.web.people.services import save_person, set_password
from sideshake.web.people.sign_in import LINK_HOLDS, new_link


def people(request: HttpRequest) -> HttpResponse:
    """List those who work here."""
    running_the_workshop(request)
    found = User.objects.order_by("-is_active", "pk")
    return render(request, "people/list.html", {"people": found})


def new(request: HttpRequest) -> HttpResponse:
    """Add somebody."""
    return person_form(request, User())


def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Change somebody's name or role, or let them in no longer."""
    return person_form(request, person_by_key(request, pk))


def person_form(request: HttpRequest, person: User) -> HttpResponse:
    """Show a person's form, or save what was typed."""
    by = running_the_workshop(request)
    form = PersonForm(request.POST or None, instance=person)
    if form.is_valid():
        try:
            save_person(form.instance, by)
            return redirect("people")
        except InputError as error:
            form.add_error(None, str(error).capitalize() + ".")
    title = str(User.objects.get(pk=person.pk)) if person.pk else _("Somebody new")
    shown = {"form": form, "title": title, "back": reverse("people")}
    return render(request, "base/edit.html", shown, status=422 if form.is_bound else 200)


@require_POST
def link(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a link that signs somebody in once."""
    person = person_by_key(request, pk)
    if not person.is_active:
        raise InputError(_("%(who)s may not sign in; make them active first") % {"who": person})
    address = request.build_absolute_uri(reverse("sign-in-link", args=[new_link(person)]))
    minutes = int(LINK_HOLDS.total_seconds() // 60)
    shown = {"person": person, "address": address, "minutes": minutes}
    return render(request, "people/link.html", shown)


@sensitive_post_parameters()
def password(request: HttpRequest, pk: int) -> HttpResponse:
    """Set somebody's password."""
    person = person_by_key(request, pk)
    if person == request.user:
        return redirect("password")
    form = NewPasswordForm(request.POST or None, person, ask_old=False)
    if form.is_valid():
        set_password(person, form.cleaned_data["new"], running_the_workshop(request))
        messages.success(request, _("The password of %(who)s is set.") % {"who": person})
        return redirect("people")
    title = _("A password for %(who)s") % {"who": person}
    shown = {"form": form, "title": title, "back": reverse("people")}
    return render(request, "base/edit.html", shown, status=422 if form.is_bound else 200)


def person_by_key(request: HttpRequest, pk: int) -> User:
    """Return somebody who works here, for the owner of the workshop; 404 if there is none."""
    running_the_workshop(request)
    found = User.objects.filter(pk=pk).first()
    if found is None:
        raise Http404(_("There is no such person."))
    return found
