"""The addresses of daily rates."""

from django.urls import path

from sideshake.web.daily_rates import views

urlpatterns = [
    path("visits/<str:number>/daily-rates/new/", views.new_programme, name="new-programme"),
    path("programmes/<int:pk>/", views.programme, name="programme"),
    path("programmes/<int:pk>/edit/", views.edit_programme, name="edit-programme"),
    path("programmes/<int:pk>/leave-out/", views.leave_out, name="leave-out-day"),
    path("programmes/<int:pk>/end/", views.end_programme, name="end-programme"),
    path("programmes/<int:pk>/remove/", views.remove_programme, name="remove-programme"),
    path("programmes/<int:pk>/rates.svg", views.rates_picture, name="programme-picture"),
    path(
        "programmes/<int:pk>/comparisons/<int:place>/",
        views.mend_comparison,
        name="mend-comparison",
    ),
    path(
        "programmes/<int:pk>/comparisons/<int:place>/take-back/",
        views.take_back,
        name="take-back-comparison",
    ),
]
