"""What the beats say: comparing readings, hearing them slowly."""

from django.urls import path

from sideshake.bench.views import compare, slowly

urlpatterns = [
    path("watches/<int:pk>/compare/", compare.compare, name="compare"),
    path("watches/<int:pk>/compared.svg", compare.compared_picture, name="compared-picture"),
    path("readings/<int:pk>/slowly/", slowly.slowly, name="slowly"),
    path("readings/<int:pk>/slowly/picture.svg", slowly.slow_picture, name="slow-picture"),
    path("readings/<int:pk>/slowly/sound.wav", slowly.slow_sound, name="slow-sound"),
]
