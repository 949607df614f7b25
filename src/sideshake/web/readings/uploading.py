"""What an upload's own script is told instead of a page: what was kept, what was not, and why."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, JsonResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from sideshake.web.models import Reading
from sideshake.web.readings.heard_rows import HEARD, WAITING


@dataclass(frozen=True, slots=True, kw_only=True)
class UploadSaid:
    """One line on what became of a file; `ask` is where to ask again, empty when it is over."""

    text: str
    ask: str = ""
    name: str = ""
    """The file's, which stands before the text; empty where the text is not about one file."""


def by_script(request: HttpRequest) -> bool:
    """Return whether a script asks, which shows the answer on the page that is open."""
    return request.headers.get("Accept", "") == "application/json"


def answer(said: Iterable[UploadSaid], problems: Iterable[str], address: str) -> JsonResponse:
    """Return what became of an upload; `address` shows what was kept."""
    wrong = list(problems)
    told: dict[str, Any] = {
        "said": [{"name": each.name, "text": each.text, "ask": each.ask} for each in said],
        "problems": wrong,
        "address": address,
    }
    return JsonResponse(told, status=422 if wrong else 200)


def heard(reading: Reading, name: str = "") -> UploadSaid:
    """Return what a recording says, or that it is still being heard."""
    ask = reverse("reading", args=[reading.pk])
    if reading.state == WAITING:
        return UploadSaid(text=_("stored; it is being heard …"), ask=ask, name=name)
    if reading.state == HEARD:
        return UploadSaid(text=reading.sentence, name=name)
    return UploadSaid(
        text=_("stored, no reading: %(why)s.") % {"why": reading.no_reading}, name=name
    )
