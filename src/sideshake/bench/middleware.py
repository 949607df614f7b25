"""What happens round every page."""

import logging
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from sideshake.bench.faults import told
from sideshake.bench.services.saving import Overtaken
from sideshake.bench.views.faults import bare
from sideshake.errors import InputError, NotEnough, first_line

log = logging.getLogger("sideshake")

Page = Callable[[HttpRequest], HttpResponse]

RULES = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "font-src 'self'",
        "media-src 'self'",
        "connect-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
    )
)


def safe_headers(page: Page) -> Page:
    """Return the page with a content policy that lets nothing in from outside."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = page(request)
        response.headers.setdefault("Content-Security-Policy", RULES)
        response.headers.setdefault("Permissions-Policy", "microphone=(self), camera=(self)")
        response.headers.setdefault("X-Frame-Options", "DENY")
        response.headers.setdefault("Cross-Origin-Opener-Policy", "same-origin")
        return response

    return answer


def kept_private(page: Page) -> Page:
    """Return the page so that no shared cache keeps it."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = page(request)
        response.headers.setdefault("Cache-Control", "private, no-cache")
        return response

    return answer


class say_what_is_wrong:  # noqa: N801 - a middleware, named as the function it acts like
    """Turn an error that the user can mend into a page that says what, why and what is allowed."""

    def __init__(self, page: Page) -> None:
        """Stand round a page."""
        self.page = page

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the page as it is."""
        return self.page(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Return a page for what can be mended or the disk refused; let other errors pass."""
        if isinstance(error, Overtaken):
            return render(request, "bench/wrong.html", {"error": error}, status=409)
        if isinstance(error, InputError | NotEnough):
            return render(request, "bench/wrong.html", {"error": error}, status=422)
        fault = told(error)
        if fault is None:
            return None
        log.warning("%s: %s", request.path, first_line(error))
        return bare(fault)
