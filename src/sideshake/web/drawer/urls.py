"""The addresses of the drawer."""

from django.urls import path

from sideshake.web.drawer import views

urlpatterns = [
    path("drawer/", views.drawer, name="drawer"),
    path("drawer/find/", views.find_jewel, name="find-jewel"),
    path("drawer/new/", views.edit_item, name="new-item"),
    path("drawer/<int:pk>/", views.item, name="item"),
    path("drawer/<int:pk>/edit/", views.edit_item, name="edit-item"),
    path("drawer/<int:pk>/remove/", views.remove_item, name="remove-item"),
    path("drawer/<int:pk>/batches/new/", views.edit_batch, name="new-batch"),
    path("drawer/<int:pk>/batches/<int:batch>/", views.edit_batch, name="edit-batch"),
    path("batches/<int:pk>/remove/", views.remove_batch, name="remove-batch"),
    path("visits/<str:number>/use/", views.use, name="use"),
    path("visits/<str:number>/use/<int:pk>/", views.use_item, name="use-item"),
    path("visits/<str:number>/use/batch/<int:pk>/", views.use_batch, name="use-batch"),
    path("used/<int:pk>/", views.edit_used, name="used"),
    path("used/<int:pk>/back/", views.bring_back, name="bring-back"),
]
