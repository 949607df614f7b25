"""The addresses of outwork and jewel orders."""

from django.urls import path

from sideshake.web.outwork import views

urlpatterns = [
    path("drawer/jewels/", views.wishes, name="jewels"),
    path("drawer/jewels/<int:pk>/", views.order, name="jewel-order"),
    path("drawer/jewels/<int:pk>/edit/", views.edit_order, name="edit-order"),
    path("drawer/jewels/<int:pk>/issue/", views.issue_order, name="issue-order"),
    path("drawer/jewels/<int:pk>/table/", views.order_table, name="jewel-order-table"),
    path("drawer/jewels/<int:pk>/received/", views.receive, name="receive-order"),
    path("outwork/", views.outwork, name="outwork"),
    path("visits/<str:number>/outwork/new/", views.new_outwork, name="new-outwork"),
    path("outwork/<int:pk>/", views.edit_outwork, name="edit-outwork"),
    path("outwork/<int:pk>/back/", views.back_today, name="outwork-back"),
    path("outwork/<int:pk>/remove/", views.remove_outwork, name="remove-outwork"),
]
