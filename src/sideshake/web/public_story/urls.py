"""The addresses of the page to show."""

from django.urls import path

from sideshake.web.public_story import views

urlpatterns = [
    path("visits/<str:number>/show/", views.show, name="show"),
    path("visits/<str:number>/show/write/", views.write_page, name="write-page"),
    path("visits/<str:number>/show/consent/", views.consent, name="show-consent"),
    path("visits/<str:number>/show/withdraw/", views.withdraw_consent, name="withdraw-consent"),
]
