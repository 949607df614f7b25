"""The addresses of the overview and the search."""

from django.urls import path

from sideshake.web.overview import due_views, search_views, views

urlpatterns = [
    path("", views.today, name="today"),
    path("search/", search_views.search, name="search"),
    path("due/", due_views.due, name="due"),
]
