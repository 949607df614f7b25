"""The addresses of invoices and payments."""

from django.urls import path

from sideshake.web.money import views

urlpatterns = [
    path("visits/<str:number>/invoice/", views.new_invoice, name="new-invoice"),
    path("invoices/<str:number>/", views.invoice, name="invoice"),
    path("invoices/<str:number>/cancel/", views.cancel_invoice, name="cancel-invoice"),
    path("visits/<str:number>/payments/new/", views.new_payment, name="new-payment"),
    path("payments/<int:pk>/", views.edit_payment, name="edit-payment"),
    path("payments/<int:pk>/remove/", views.remove_payment, name="remove-payment"),
    path("money/", views.money, name="money"),
]
