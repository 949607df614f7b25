"""Signing in and out, people, the workshop's own settings."""

from django.urls import path

from sideshake.bench.views import beginning, door, people, settings_page

urlpatterns = [
    path("sign-in/", door.sign_in, name="sign-in"),
    path("sign-in/<str:token>/", door.sign_in_by_link, name="sign-in-link"),
    path("sign-out/", door.sign_out, name="sign-out"),
    path("password/", door.password, name="password"),
    path("people/", people.people, name="people"),
    path("people/new/", people.new, name="person-new"),
    path("people/<int:pk>/", people.change, name="person"),
    path("people/<int:pk>/link/", people.link, name="person-link"),
    path("people/<int:pk>/password/", people.password, name="person-password"),
    path("settings/files/", settings_page.stray, name="stray-files"),
    path("settings/put-aside/", settings_page.put_stray_aside, name="put-stray-aside"),
    path("settings/", settings_page.settings_page, name="settings"),
    path("begin/", beginning.begin_here, name="begin"),
    path("begin/next/", beginning.begun, name="begun"),
    path("begin/no-hints/", beginning.no_hints, name="no-hints"),
]
