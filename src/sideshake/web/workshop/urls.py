"""The addresses of the workshop's settings and its first start."""

from django.urls import path

from sideshake.web.workshop import first_start_views, views

urlpatterns = [
    path("settings/", views.settings_page, name="settings"),
    path("begin/", first_start_views.begin_here, name="begin"),
    path("begin/next/", first_start_views.begun, name="begun"),
    path("begin/no-hints/", first_start_views.no_hints, name="no-hints"),
    path("settings/logo.png", views.logo_picture, name="logo"),
    path("settings/logo/", views.put_logo, name="put-logo"),
    path("settings/logo/remove/", views.remove_logo, name="remove-logo"),
]
