"""Measuring in a photograph, and the card that gives it a scale."""

from collections.abc import Callable
from importlib import import_module
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import path

PAGES = "sideshake.bench.views"


def late(name: str, module: str = "look") -> Callable[..., HttpResponse]:
    """Return a page whose module is loaded once it is asked for: what measures loads scipy."""

    def page(request: HttpRequest, **told: Any) -> HttpResponse:
        answer: HttpResponse = getattr(import_module(f"{PAGES}.{module}"), name)(request, **told)
        return answer

    page.__name__ = name
    return page


urlpatterns = [
    path("photographs/<int:pk>/measure/", late("look"), name="look"),
    path(
        "photographs/<int:pk>/measure/wheel/", late("look_wheel", "look_parts"), name="look-wheel"
    ),
    path(
        "photographs/<int:pk>/measure/pivot/", late("look_pivot", "look_parts"), name="look-pivot"
    ),
    path(
        "photographs/<int:pk>/measure/points/",
        late("look_points", "look_parts"),
        name="look-points",
    ),
    path(
        "photographs/<int:pk>/measure/<str:kind>.svg",
        late("look_picture", "look_drawn"),
        name="look-picture",
    ),
    path("settings/card/", late("card"), name="card"),
    path("settings/card.pdf", late("card_pdf"), name="card-pdf"),
]
