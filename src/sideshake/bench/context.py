"""What every page knows without being told."""

from typing import Any

from django.http import HttpRequest

from sideshake.bench.models import the_workshop


def workshop(request: HttpRequest) -> dict[str, Any]:
    """Return the workshop's own row, for the head of the page and for money and dates."""
    return {"workshop": the_workshop()} if request.user.is_authenticated else {}
