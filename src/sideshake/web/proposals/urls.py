"""The addresses of proposals."""

from django.urls import path

from sideshake.web.proposals import views

PROPOSAL = "visits/<str:number>/proposal/<int:edition>/"

urlpatterns = [
    path("visits/<str:number>/proposal/begin/", views.begin_proposal, name="begin-proposal"),
    path(PROPOSAL, views.proposal, name="proposal"),
    path(f"{PROPOSAL}edit/", views.edit_proposal, name="edit-proposal"),
    path(f"{PROPOSAL}options/new/", views.new_option, name="new-option"),
    path(f"{PROPOSAL}send/", views.send_proposal, name="send-proposal"),
    path(f"{PROPOSAL}answer/", views.answer_proposal, name="answer-proposal"),
    path(f"{PROPOSAL}change/", views.change_proposal, name="change-proposal"),
    path("options/<int:pk>/", views.edit_option, name="edit-option"),
    path("options/<int:pk>/remove/", views.remove_option, name="remove-option"),
    path("options/<int:pk>/shift/", views.shift_option, name="shift-option"),
]
