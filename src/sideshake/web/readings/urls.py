"""The addresses of recordings, readings and listening."""

from django.urls import path

from sideshake.web.readings import listening_views, microphone_views, slow_sound_views, views

urlpatterns = [
    path("visits/<str:number>/recordings/add/", views.add_recordings, name="add-recordings"),
    path("readings/<int:pk>/", views.reading, name="reading"),
    path("readings/<int:pk>/edit/", views.edit_reading, name="edit-reading"),
    path("readings/<int:pk>/stop/", views.stop_reading, name="stop-reading"),
    path("readings/<int:pk>/a-watch/", views.call_it_a_watch, name="a-watch"),
    path("readings/<int:pk>/no-watch/", views.call_it_no_watch, name="no-watch"),
    path("readings/<int:pk>/remove/", views.remove_reading, name="remove-reading"),
    path("readings/<int:pk>/sound/", views.recording_file, name="recording-file"),
    path("readings/<int:pk>/<str:kind>.svg", views.reading_picture, name="reading-picture"),
    path("visits/<str:number>/listen/", listening_views.listen, name="listen"),
    path(
        "visits/<str:number>/listen/begin/", listening_views.begin_listening, name="begin-listening"
    ),
    path("readings/<int:pk>/sound/add/", listening_views.add_sound, name="add-sound"),
    path("readings/<int:pk>/finish/", listening_views.finish_listening, name="finish-listening"),
    path("rounds/<int:pk>/listen/", listening_views.listen_round, name="listen-round"),
    path("microphone/", microphone_views.microphone, name="microphone"),
    path("microphone/begin/", microphone_views.begin_trial, name="begin-trial"),
    path("microphone/<str:key>/sound/", microphone_views.add_trial_sound, name="trial-sound"),
    path("readings/<int:pk>/slowly/", slow_sound_views.slowly, name="slowly"),
    path(
        "readings/<int:pk>/slowly/picture.svg", slow_sound_views.slow_picture, name="slow-picture"
    ),
    path("readings/<int:pk>/slowly/sound.wav", slow_sound_views.slow_sound, name="slow-sound"),
]
