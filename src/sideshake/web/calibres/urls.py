"""The addresses of calibres."""

from django.urls import path

from sideshake.web.calibres import balance_views, desk_views, new_views, pictures_views, views
from sideshake.web.calibres.drawn import DRAWINGS

urlpatterns = [
    path("balance/", balance_views.balance, name="balance"),
    path("calibres/", views.calibres, name="calibres"),
    path("calibres/<str:name>/", views.calibre, name="calibre"),
    path("calibres/<str:name>/sheet.toml", pictures_views.sheet_file, name="calibre-toml"),
    *(
        path(
            f"calibres/<str:name>/{each.removeprefix('calibre-')}.svg",
            pictures_views.drawn,
            {"picture": each},
            name=each,
        )
        for each in DRAWINGS
    ),
    path("calibre/new/", new_views.new_calibre, name="new-calibre"),
    path("calibre/file/", new_views.calibre_file, name="calibre-file"),
    path("calibre/<int:pk>/edit/<str:section>/", desk_views.edit_calibre, name="edit-calibre"),
    path("calibre/<int:pk>/history/", desk_views.calibre_history, name="calibre-history"),
    path("calibre/<int:pk>/remove/", desk_views.remove_calibre, name="remove-calibre"),
]
