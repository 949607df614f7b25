"""The addresses of what was removed."""

from django.urls import path

from sideshake.web.removal import views

urlpatterns = [
    path("removed/", views.removed, name="removed"),
    path("removed/throw-away/", views.throw_old_away, name="throw-old-away"),
    path("removed/<int:pk>/take-back/", views.take_it_back, name="take-back"),
]
