"""Showing a form, saving its record, and keeping what was typed when something is wrong."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from sideshake.core.errors import InputError
from sideshake.web.base.access import signed_in
from sideshake.web.base.record_form import RecordForm
from sideshake.web.base.saving import EditConflict, save
from sideshake.web.base.version_field import version_in
from sideshake.web.models import Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Editing:
    """What a page that edits one record shows, and where it leads."""

    title: str
    done: Callable[[Any], str]
    """From the saved record to the address of the next page."""
    template: str = "base/edit.html"
    shown: dict[str, Any] = field(default_factory=dict)
    write: Callable[..., None] = save
    """What writes the record: `save`, or a service with the same parameters."""


def edit(
    request: HttpRequest, form_class: Callable[..., RecordForm], record: Record, editing: Editing
) -> HttpResponse:
    """Show a record's form, or save what was typed; the second of two people is told."""
    form = form_class(request.POST or None, instance=record)
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            changed = form.save(commit=False)
            try:
                editing.write(changed, signed_in(request), seen=form.cleaned_data["seen"])
                return redirect(editing.done(changed))
            except EditConflict as overtaken:
                form.show_overtaken(overtaken)
                status = 409
            except InputError as error:
                form.add_error(None, error.sentence)
    shown = {"form": form, "title": editing.title, "record": record, **editing.shown}
    return render(request, editing.template, shown, status=status)


def version_seen(request: HttpRequest) -> int:
    """Return the version of a record that the person saw."""
    return version_in(request.POST.get("seen", ""))


def visit_at(section: str) -> Callable[[Any], str]:
    """Return what leads from a saved record to a section of its visit's page."""

    def address(record: Any) -> str:
        return f"{reverse('visit', args=[record.visit_of.number])}#{section}"

    return address
