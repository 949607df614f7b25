"""Sound clocks: those checked, and checking one."""

from django.urls import path

from sideshake.bench.views import clocks

urlpatterns = [
    path("clock/", clocks.clocks, name="clock"),
    path("clock/forget/", clocks.forget, name="forget-clock"),
    path("clock/begin/", clocks.begin_check, name="begin-clock"),
    path("clock/<str:key>/sound/", clocks.add_clock_sound, name="clock-sound"),
    path("clock/<str:key>/store/", clocks.store_clock, name="store-clock"),
]
