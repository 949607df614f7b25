"""The workshop's own name, wording and rules: for the owner of the workshop only."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from sideshake.bench.access import running_the_workshop
from sideshake.bench.forms.people import WorkshopForm
from sideshake.bench.models import Workshop, the_workshop
from sideshake.bench.views.editing import Editing, edit


def settings_page(request: HttpRequest) -> HttpResponse:
    """Show or save the workshop's settings."""
    running_the_workshop(request)
    row = Workshop.objects.first() or the_workshop()

    def done(_saved: Workshop) -> str:
        messages.success(request, _("The settings are saved."))
        return reverse("settings")

    return edit(request, WorkshopForm, row, Editing(title=_("Settings of the workshop"), done=done))
