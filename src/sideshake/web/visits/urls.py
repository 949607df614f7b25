"""The addresses of a new visit and a visit's history."""

from django.urls import path

from sideshake.web.visits import arriving_views, history_views

urlpatterns = [
    path("visits/new/", arriving_views.new_visit, name="new-visit"),
    path("visits/<str:number>/history/", history_views.history, name="history"),
]
