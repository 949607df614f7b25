"""The addresses of measuring, in a photograph too."""

from collections.abc import Callable
from importlib import import_module
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import path

from sideshake.web.measuring import views

PAGES = "sideshake.web.measuring"


def late(name: str, module: str = "photo_views") -> Callable[..., HttpResponse]:
    """Return a page whose module is loaded once it is asked for: what measures loads scipy."""

    def page(request: HttpRequest, **told: Any) -> HttpResponse:
        answer: HttpResponse = getattr(import_module(f"{PAGES}.{module}"), name)(request, **told)
        return answer

    page.__name__ = name
    return page


urlpatterns = [
    path("photographs/<int:pk>/measure/", late("look"), name="look"),
    path(
        "photographs/<int:pk>/measure/wheel/",
        late("look_wheel", "photo_part_views"),
        name="look-wheel",
    ),
    path(
        "photographs/<int:pk>/measure/pivot/",
        late("look_pivot", "photo_part_views"),
        name="look-pivot",
    ),
    path(
        "photographs/<int:pk>/measure/points/",
        late("look_points", "photo_part_views"),
        name="look-points",
    ),
    path(
        "photographs/<int:pk>/measure/<str:kind>.svg",
        late("look_picture", "photo_drawn_views"),
        name="look-picture",
    ),
    path("settings/card/", late("card"), name="card"),
    path("settings/card.pdf", late("card_pdf"), name="card-pdf"),
    path("visits/<str:number>/desk/", late("desk", "place_views"), name="desk"),
    path("visits/<str:number>/desk/<str:place>/", late("place", "place_views"), name="place"),
    path(
        "visits/<str:number>/desk-after/",
        late("desk", "place_views"),
        {"after": True},
        name="desk-after",
    ),
    path(
        "visits/<str:number>/desk-after/<str:place>/",
        late("place", "place_views"),
        {"after": True},
        name="place-after",
    ),
    path(
        "visits/<str:number>/desk/<str:place>/note/",
        late("note_place", "place_views"),
        name="note-place",
    ),
    path("visits/<str:number>/measure/", views.measure, name="measure"),
    path(
        "visits/<str:number>/measure/after/",
        views.measure,
        {"after": True},
        name="measure-after",
    ),
    path("visits/<str:number>/section.svg", views.section_picture, name="section-picture"),
    path("visits/<str:number>/jewel/<str:place>/", views.jewel, name="jewel"),
    path("visits/<str:number>/jewel/<str:place>/have-made/", views.have_made, name="have-made"),
]
