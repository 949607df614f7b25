"""The addresses of the visit page and the list of visits."""

from django.urls import path

from sideshake.web.visit_page import views

urlpatterns = [
    path("visits/", views.visits, name="visits"),
    path("visits/<str:number>/", views.visit, name="visit"),
    path("visits/<str:number>/arrival/", views.arrival, name="arrival"),
    path("visits/<str:number>/home/", views.home, name="home"),
    path("visits/<str:number>/step/", views.step, name="step"),
]
