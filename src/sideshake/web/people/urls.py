"""The addresses of signing in and of those who work here."""

from django.urls import path

from sideshake.web.people import sign_in_views, views

urlpatterns = [
    path("sign-in/", sign_in_views.sign_in, name="sign-in"),
    path("sign-in/<str:token>/", sign_in_views.sign_in_by_link, name="sign-in-link"),
    path("sign-out/", sign_in_views.sign_out, name="sign-out"),
    path("password/", sign_in_views.password, name="password"),
    path("people/", views.people, name="people"),
    path("people/new/", views.new, name="person-new"),
    path("people/<int:pk>/", views.change, name="person"),
    path("people/<int:pk>/link/", views.link, name="person-link"),
    path("people/<int:pk>/password/", views.password, name="person-password"),
]
