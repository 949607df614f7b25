"""Owners, watches, visits: the records and the lists of them."""

from django.urls import path

from sideshake.bench.views import visits

urlpatterns = [
    path("visits/<str:number>/", visits.visit, name="visit"),
]
