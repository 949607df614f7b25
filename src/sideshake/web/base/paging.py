"""Long lists, a page at a time."""

from typing import Any

from django.core.paginator import Page, Paginator
from django.http import HttpRequest

PER_PAGE = 50


def page_of(request: HttpRequest, rows: Any, *, per_page: int = PER_PAGE) -> Page[Any]:
    """Return the page of rows that `?page=` asks for; the nearest one there is."""
    return Paginator(rows, per_page).get_page(request.GET.get("page"))


def kept_query(request: HttpRequest) -> str:
    """Return the rest of the address's question, so that the next page keeps it."""
    rest = request.GET.copy()
    rest.pop("page", None)
    return f"&{rest.urlencode()}" if rest else ""
