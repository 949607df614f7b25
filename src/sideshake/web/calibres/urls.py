"""The addresses of calibres."""

from django.urls import path

from sideshake.web.calibres import balance_views, desk_views, new_views, pictures_views, views

urlpatterns = [
    path("balance/", balance_views.balance, name="balance"),
    path("calibres/", views.calibres, name="calibres"),
    path("calibres/<str:name>/", views.calibre, name="calibre"),
    path("calibres/<str:name>/sheet.toml", pictures_views.sheet_file, name="calibre-toml"),
    path("calibres/<str:name>/dial.svg", pictures_views.dial, name="calibre-dial"),
    path("calibres/<str:name>/day-dial.svg", pictures_views.day_dial, name="calibre-day-dial"),
    path("calibres/<str:name>/train.svg", pictures_views.train, name="calibre-train"),
    path("calibres/<str:name>/spring.svg", pictures_views.spring, name="calibre-spring"),
    path("calibre/new/", new_views.new_calibre, name="new-calibre"),
    path("calibre/file/", new_views.calibre_file, name="calibre-file"),
    path("calibre/<int:pk>/edit/<str:section>/", desk_views.edit_calibre, name="edit-calibre"),
    path("calibre/<int:pk>/history/", desk_views.calibre_history, name="calibre-history"),
    path("calibre/<int:pk>/remove/", desk_views.remove_calibre, name="remove-calibre"),
]
