"""Signing in and out, people, the workshop's own settings."""

from django.urls import path

from sideshake.bench.views import door

urlpatterns = [
    path("sign-in/", door.sign_in, name="sign-in"),
    path("sign-in/<str:token>/", door.sign_in_by_link, name="sign-in-link"),
    path("sign-out/", door.sign_out, name="sign-out"),
]
