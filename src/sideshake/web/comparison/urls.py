"""The addresses of before and after."""

from django.urls import path

from sideshake.web.comparison import views

urlpatterns = [
    path("watches/<int:pk>/compare/", views.compare, name="compare"),
    path("watches/<int:pk>/compared.svg", views.compared_picture, name="compared-picture"),
    path("watches/<int:pk>/rings.svg", views.compared_rings, name="compared-rings"),
]
