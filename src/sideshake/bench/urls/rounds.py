"""Rounds: positions in turn, and what they say."""

from django.urls import path

from sideshake.bench.views import rounds

urlpatterns = [
    path("visits/<str:number>/rounds/new/", rounds.new_round, name="new-round"),
    path("rounds/<int:pk>/", rounds.round_page, name="round"),
    path("rounds/<int:pk>/edit/", rounds.edit_round, name="edit-round"),
    path("rounds/<int:pk>/remove/", rounds.remove_round, name="remove-round"),
    path("rounds/<int:pk>/<str:drawn>.svg", rounds.round_picture, name="round-picture"),
    path("readings/<int:pk>/leave-round/", rounds.leave_round, name="leave-round"),
]
