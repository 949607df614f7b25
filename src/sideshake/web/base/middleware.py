"""What happens round every page."""

import logging
from collections.abc import Callable, Iterator
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough, first_line
from sideshake.web.base.characters import FORBIDDEN, require_letters
from sideshake.web.base.fault_pages import bare, wrong
from sideshake.web.base.faults import told
from sideshake.web.base.saving import EditConflict

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


def no_body_for_head(page: Page) -> Callable[[HttpRequest], HttpResponseBase]:
    """Return what HEAD asks for: the head that GET would have, and nothing after it (RFC 9110)."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = page(request)
        if request.method != "HEAD":
            return response
        bare = HttpResponse(status=response.status_code)
        bare.headers, bare.cookies = response.headers, response.cookies
        if not response.streaming:
            bare.headers["Content-Length"] = str(len(response.content))
        response.close()
        return bare

    return answer


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


def readable_address(page: Page) -> Page:
    """Refuse an address with control characters, before anybody is looked up.

    A cookie that holds some is not one of ours, and counts as not sent.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        for name in [name for name, text in request.COOKIES.items() if FORBIDDEN.search(text)]:
            del request.COOKIES[name]
        try:
            require_letters(request.path_info, _("the address"), lines=False)
            require_all(pairs(request.GET))
        except InputError as error:
            return wrong(request, error.sentence, 400)
        return page(request)

    return answer


def require_all(texts: Iterator[tuple[str, str]]) -> None:
    """Refuse control characters in the names and texts of fields.

    Raises
    ------
    InputError : one holds some
    """
    for name, text in texts:
        require_letters(name, _("the name of a field"), lines=False)
        require_letters(text, _("the field %(name)s") % {"name": name})


def pairs(fields: Any) -> Iterator[tuple[str, str]]:
    """Yield the name of each field with each text in it; of a file its name."""
    for name, values in fields.lists():
        for value in values:
            yield name, value if isinstance(value, str) else value.name or ""


class say_what_is_wrong:  # noqa: N801 - a middleware, named as the function it acts like
    """Turn an error that the user can mend into a page that says what, why and what is allowed."""

    def __init__(self, page: Page) -> None:
        """Stand round a page."""
        self.page = page

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Return the page as it is."""
        return self.page(request)

    def process_view(
        self, request: HttpRequest, _view: Page, _args: tuple[Any, ...], _words: dict[str, Any]
    ) -> HttpResponse | None:
        """Refuse control characters in what was sent; who asks has been looked at before."""
        try:
            require_all(pairs(request.POST))
            require_all(pairs(request.FILES))
        except InputError as error:
            return wrong(request, error.sentence, 422)
        return None

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Return a page for what can be mended or the disk refused; let other errors pass."""
        if isinstance(error, EditConflict):
            return wrong(request, error, 409)
        if isinstance(error, InputError | NotEnough):
            return wrong(request, error, 422)
        fault = told(error)
        if fault is None:
            return None
        log.warning("%s: %s", request.path, first_line(error))
        return bare(fault)
