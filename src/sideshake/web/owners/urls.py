"""The addresses of owners and their watches."""

from django.urls import path

from sideshake.web.owners import data_views, views

urlpatterns = [
    path("owners/", views.owners, name="owners"),
    path("owners/new/", views.edit_owner, name="new-owner"),
    path("owners/<int:pk>/", views.owner, name="owner"),
    path("owners/<int:pk>/edit/", views.edit_owner, name="edit-owner"),
    path("owners/<int:pk>/give-out/", data_views.give_out, name="give-out-owner"),
    path("owners/<int:pk>/erase/", data_views.erase_owner, name="erase-owner"),
    path("owners/<int:pk>/watches/new/", views.new_watch, name="new-watch"),
    path("watches/<int:pk>/", views.watch, name="watch"),
    path("watches/<int:pk>/edit/", views.edit_watch, name="edit-watch"),
]
