"""Timing beyond a single reading: programmes of daily rates, before against after."""

from django.urls import path

from sideshake.bench.views import compare, programme

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
]
