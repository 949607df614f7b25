"""The pages for what went wrong."""

import sys
from typing import Any

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from sideshake.web.base.faults import FaultTold, told


@login_not_required
def refused(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Say that this is not for this person."""
    return wrong(request, str(exception or _("This page is not for you.")), 403)


@login_not_required
def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """Say that there is nothing at this address."""
    words = str(exception.args[0]) if exception and exception.args else ""
    plain = words if isinstance(words, str) and words.startswith("There is no") else ""
    return wrong(request, plain or _("There is nothing at this address."), 404)


@login_not_required
def not_understood(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:  # noqa: ARG001
    """Say that the request was too large, broken off, or sent to a name that is not ours."""
    words = _(
        "This request was broken off, holds more than is allowed (%(mb)d MB of words, %(fields)d "
        "fields, %(files)d files at once), or calls this computer by a name it does not go by (see "
        "SIDESHAKE_HOSTS in docs/workshop.md). Nothing was changed."
    )
    return wrong(request, words % allowed(), 400)


def allowed() -> dict[str, int]:
    """Return how much one form may hold."""
    return {
        "mb": settings.DATA_UPLOAD_MAX_MEMORY_SIZE // 10**6,
        "fields": settings.DATA_UPLOAD_MAX_NUMBER_FIELDS,
        "files": settings.DATA_UPLOAD_MAX_NUMBER_FILES,
    }


@login_not_required
def broken(_request: HttpRequest) -> HttpResponse:
    """Say what disk or database did not do, or that the program failed; needs neither of them."""
    fault = told(sys.exc_info()[1])
    if fault is not None:
        return bare(fault)
    words = _(
        "The program failed on this page. What was saved before is safe; this one request was not "
        "carried out. The fault is written in the window where the workshop was started."
    )
    return bare(FaultTold(words=words, status=500))


@login_not_required
def csrf_failure(request: HttpRequest, **_why: Any) -> HttpResponse:
    """Say that the form was too old, or came from another page."""
    return wrong(
        request,
        _(
            "This form does not come from a page of this workshop that is still valid; nothing was "
            "changed. Go back, load the page again and send it once more."
        ),
        403,
    )


def bare(fault: FaultTold) -> HttpResponse:
    """Return a page with one sentence, which asks the database nothing."""
    page = render_to_string("base/broken.html", {"error": fault.words})
    return HttpResponse(page, status=fault.status)


def wrong(request: HttpRequest, error: Exception | str, status: int) -> HttpResponse:
    """Return a page with one sentence on what went wrong."""
    return render(request, "base/wrong.html", {"error": error}, status=status)
