"""Proposals, answers, invoices and payments."""

from django.urls import path

from sideshake.bench.views import invoices, proposals

PROPOSAL = "visits/<str:number>/proposal/<int:edition>/"

urlpatterns = [
    path("visits/<str:number>/proposal/begin/", proposals.begin_proposal, name="begin-proposal"),
    path(PROPOSAL, proposals.proposal, name="proposal"),
    path(f"{PROPOSAL}edit/", proposals.edit_proposal, name="edit-proposal"),
    path(f"{PROPOSAL}options/new/", proposals.new_option, name="new-option"),
    path(f"{PROPOSAL}send/", proposals.send_proposal, name="send-proposal"),
    path(f"{PROPOSAL}answer/", proposals.answer_proposal, name="answer-proposal"),
    path(f"{PROPOSAL}change/", proposals.change_proposal, name="change-proposal"),
    path("options/<int:pk>/", proposals.edit_option, name="edit-option"),
    path("options/<int:pk>/remove/", proposals.remove_option, name="remove-option"),
    path("options/<int:pk>/shift/", proposals.shift_option, name="shift-option"),
    path("visits/<str:number>/invoice/", invoices.new_invoice, name="new-invoice"),
    path("invoices/<str:number>/", invoices.invoice, name="invoice"),
    path("invoices/<str:number>/cancel/", invoices.cancel_invoice, name="cancel-invoice"),
    path("visits/<str:number>/payments/new/", invoices.new_payment, name="new-payment"),
    path("payments/<int:pk>/", invoices.edit_payment, name="edit-payment"),
    path("payments/<int:pk>/remove/", invoices.remove_payment, name="remove-payment"),
    path("money/", invoices.money, name="money"),
]
