"""The addresses of rounds."""

from django.urls import path

from sideshake.web.rounds import views

urlpatterns = [
    path("visits/<str:number>/rounds/new/", views.new_round, name="new-round"),
    path("rounds/<int:pk>/", views.round_page, name="round"),
    path("rounds/<int:pk>/edit/", views.edit_round, name="edit-round"),
    path("rounds/<int:pk>/remove/", views.remove_round, name="remove-round"),
    path("rounds/<int:pk>/<str:drawn>.svg", views.round_picture, name="round-picture"),
    path("readings/<int:pk>/leave-round/", views.leave_round, name="leave-round"),
]
