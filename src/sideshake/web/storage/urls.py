"""The addresses of files without a record."""

from django.urls import path

from sideshake.web.storage import views

urlpatterns = [
    path("settings/files/", views.stray, name="stray-files"),
    path("settings/put-aside/", views.put_stray_aside, name="put-stray-aside"),
]
