"""Timing beyond a single reading: programmes of daily rates, before against after, slow sound."""

from django.urls import path

from sideshake.bench.views import compare, programme, slowly

urlpatterns = [
    path("visits/<str:number>/daily-rates/new/", programme.new_programme, name="new-programme"),
    path("programmes/<int:pk>/", programme.programme, name="programme"),
    path("programmes/<int:pk>/edit/", programme.edit_programme, name="edit-programme"),
    path("programmes/<int:pk>/leave-out/", programme.leave_out, name="leave-out-day"),
    path("programmes/<int:pk>/end/", programme.end_programme, name="end-programme"),
    path("programmes/<int:pk>/remove/", programme.remove_programme, name="remove-programme"),
    path("programmes/<int:pk>/rates.svg", programme.rates_picture, name="programme-picture"),
    path(
        "programmes/<int:pk>/comparisons/<int:place>/",
        programme.mend_comparison,
        name="mend-comparison",
    ),
    path(
        "programmes/<int:pk>/comparisons/<int:place>/take-back/",
        programme.take_back,
        name="take-back-comparison",
    ),
    path("watches/<int:pk>/compare/", compare.compare, name="compare"),
    path("watches/<int:pk>/compared.svg", compare.compared_picture, name="compared-picture"),
    path("watches/<int:pk>/rings.svg", compare.compared_rings, name="compared-rings"),
    path("readings/<int:pk>/slowly/", slowly.slowly, name="slowly"),
    path("readings/<int:pk>/slowly/picture.svg", slowly.slow_picture, name="slow-picture"),
    path("readings/<int:pk>/slowly/sound.wav", slowly.slow_sound, name="slow-sound"),
]
