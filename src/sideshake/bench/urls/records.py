"""Owners, watches, visits: the records and the lists of them."""

from django.urls import path

from sideshake.bench.views import (
    arriving,
    due,
    findings,
    history,
    look_over,
    owner_data,
    owners,
    removed,
    search,
    visits,
)

urlpatterns = [
    path("search/", search.search, name="search"),
    path("removed/", removed.removed, name="removed"),
    path("removed/throw-away/", removed.throw_old_away, name="throw-old-away"),
    path("removed/<int:pk>/take-back/", removed.take_it_back, name="take-back"),
    path("due/", due.due, name="due"),
    path("owners/", owners.owners, name="owners"),
    path("owners/new/", owners.edit_owner, name="new-owner"),
    path("owners/<int:pk>/", owners.owner, name="owner"),
    path("owners/<int:pk>/edit/", owners.edit_owner, name="edit-owner"),
    path("owners/<int:pk>/give-out/", owner_data.give_out, name="give-out-owner"),
    path("owners/<int:pk>/erase/", owner_data.erase_owner, name="erase-owner"),
    path("owners/<int:pk>/watches/new/", owners.new_watch, name="new-watch"),
    path("watches/<int:pk>/", owners.watch, name="watch"),
    path("watches/<int:pk>/edit/", owners.edit_watch, name="edit-watch"),
    path("findings/<int:pk>/", findings.edit_finding, name="edit-finding"),
    path("findings/<int:pk>/remove/", findings.remove_finding, name="remove-finding"),
    path("findings/<int:pk>/put-right/", findings.put_right, name="put-right"),
    path("visits/", visits.visits, name="visits"),
    path("visits/new/", arriving.new_visit, name="new-visit"),
    path("visits/<str:number>/", visits.visit, name="visit"),
    path("visits/<str:number>/arrival/", visits.arrival, name="arrival"),
    path("visits/<str:number>/home/", visits.home, name="home"),
    path("visits/<str:number>/step/", visits.step, name="step"),
    path("visits/<str:number>/history/", history.history, name="history"),
    path("visits/<str:number>/look-over/", look_over.look_over, name="look-over"),
    path("visits/<str:number>/look-over/list/", look_over.look_over_list, name="look-over-list"),
    path("visits/<str:number>/look-over/answer/", look_over.answer_question, name="answer"),
    path("visits/<str:number>/findings/", findings.findings, name="findings"),
    path("visits/<str:number>/findings/usual/", findings.add_usual, name="add-usual-finding"),
    path("visits/<str:number>/findings/new/", findings.new_finding, name="new-finding"),
]
