"""Trying a microphone. Sound clocks: those checked, and checking one."""

from django.urls import path

from sideshake.bench.views import clocks, microphone

urlpatterns = [
    path("microphone/", microphone.microphone, name="microphone"),
    path("microphone/begin/", microphone.begin_trial, name="begin-trial"),
    path("microphone/<str:key>/sound/", microphone.add_trial_sound, name="trial-sound"),
    path("clock/", clocks.clocks, name="clock"),
    path("clock/forget/", clocks.forget, name="forget-clock"),
    path("clock/begin/", clocks.begin_check, name="begin-clock"),
    path("clock/<str:key>/sound/", clocks.add_clock_sound, name="clock-sound"),
    path("clock/<str:key>/store/", clocks.store_clock, name="store-clock"),
]
