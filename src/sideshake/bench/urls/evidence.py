"""What was seen, measured and heard."""

from django.urls import path

from sideshake.bench.views import photographs as shots

urlpatterns = [
    path("visits/<str:number>/photographs/add/", shots.add_photographs, name="add-photographs"),
    path("photographs/<int:pk>/", shots.photograph, name="photograph"),
    path("photographs/<int:pk>/caption/", shots.edit_photograph, name="edit-photograph"),
    path("photographs/<int:pk>/points/", shots.add_point, name="add-point"),
    path(
        "photographs/<int:pk>/points/<int:place>/remove/",
        shots.remove_point,
        name="remove-point",
    ),
    path("photographs/<int:pk>/shift/", shots.shift_photograph, name="shift-photograph"),
    path("photographs/<int:pk>/remove/", shots.remove_photograph, name="remove-photograph"),
    path("photographs/<int:pk>/<str:size>/", shots.photograph_file, name="photograph-file"),
]
