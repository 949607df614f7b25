"""The workshop's own name, wording and rules: for the owner of the workshop only."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.core.errors import InputError
from sideshake.web.base.access import running_the_workshop
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.base.editing import Editing, edit, version_seen
from sideshake.web.models import Workshop, the_workshop
from sideshake.web.workshop.forms import WorkshopForm
from sideshake.web.workshop.logo import logo_bytes, put_on, take_off


def settings_page(request: HttpRequest) -> HttpResponse:
    """Show or save the workshop's settings."""
    running_the_workshop(request)

    def done(_saved: Workshop) -> str:
        messages.success(request, _("The settings are saved."))
        return reverse("settings")

    editing = Editing(
        title=_("Settings of the workshop"), done=done, template="workshop/settings.html"
    )
    return edit(request, WorkshopForm, stored_workshop(), editing)


def stored_workshop() -> Workshop:
    """Return the workshop's row as it is stored now."""
    return Workshop.objects.first() or the_workshop()


def logo_picture(_request: HttpRequest) -> HttpResponse:
    """Show the workshop's logo."""
    data = logo_bytes(stored_workshop())
    if data is None:
        raise InputError(_("there is no logo, or its file is gone"))
    return HttpResponse(data, content_type="image/png")


@require_POST
def put_logo(request: HttpRequest) -> HttpResponse:
    """Keep an uploaded picture as the logo of all papers."""
    by = running_the_workshop(request)
    upload = request.FILES.get("logo")
    if upload is None:
        raise InputError(_("choose a picture first: PNG or JPEG"))
    put_on(stored_workshop(), upload, by, seen=version_seen(request))
    messages.success(request, _("The logo is on all papers from now on."))
    return redirect("settings")


@require_POST
def remove_logo(request: HttpRequest) -> HttpResponse:
    """Ask once, then take the logo off the papers."""
    by, shop = running_the_workshop(request), stored_workshop()
    removal = Removal(
        done=reverse("settings"),
        stay=reverse("settings"),
        act=take_off,
        also=(_("Papers then have the name %(name)s alone at their head.") % {"name": shop.name},),
        called=_("logo on papers"),
    )
    return ask_and_remove(request, shop, by, removal)
