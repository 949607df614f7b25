"""Listening at the bench."""

from django.urls import path

from sideshake.bench.views import live

urlpatterns = [
    path("visits/<str:number>/listen/", live.listen, name="listen"),
    path("visits/<str:number>/listen/begin/", live.begin_listening, name="begin-listening"),
    path("readings/<int:pk>/sound/add/", live.add_sound, name="add-sound"),
    path("readings/<int:pk>/finish/", live.finish_listening, name="finish-listening"),
    path("rounds/<int:pk>/listen/", live.listen_round, name="listen-round"),
]
