"""What every page knows without being told."""

from typing import Any

from django.http import HttpRequest

from sideshake.web.base.notices import told_once
from sideshake.web.models import the_workshop


def workshop(request: HttpRequest) -> dict[str, Any]:
    """Return the workshop's own row, for the head of the page and for money and dates."""
    user = getattr(request, "user", None)  # none when a request is refused at the door
    if user is None or not user.is_authenticated:
        return {}
    return {"workshop": the_workshop(), "start_news": told_once}
