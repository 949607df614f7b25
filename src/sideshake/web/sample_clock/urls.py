"""The addresses of sound clocks."""

from django.urls import path

from sideshake.web.sample_clock import views

urlpatterns = [
    path("clock/", views.clocks, name="clock"),
    path("clock/forget/", views.forget, name="forget-clock"),
    path("clock/begin/", views.begin_check, name="begin-clock"),
    path("clock/<str:key>/sound/", views.add_clock_sound, name="clock-sound"),
    path("clock/<str:key>/store/", views.store_clock, name="store-clock"),
]
