"""The addresses of photographs, look-over and findings."""

from django.urls import path

from sideshake.web.evidence import finding_views, look_over_views
from sideshake.web.evidence import photograph_views as shots

urlpatterns = [
    path("findings/<int:pk>/", finding_views.edit_finding, name="edit-finding"),
    path("findings/<int:pk>/remove/", finding_views.remove_finding, name="remove-finding"),
    path("findings/<int:pk>/put-right/", finding_views.put_right, name="put-right"),
    path("visits/<str:number>/look-over/", look_over_views.look_over, name="look-over"),
    path(
        "visits/<str:number>/look-over/list/", look_over_views.look_over_list, name="look-over-list"
    ),
    path("visits/<str:number>/look-over/answer/", look_over_views.answer_question, name="answer"),
    path("visits/<str:number>/findings/", finding_views.findings, name="findings"),
    path("visits/<str:number>/findings/usual/", finding_views.add_usual, name="add-usual-finding"),
    path("visits/<str:number>/findings/new/", finding_views.new_finding, name="new-finding"),
    path("visits/<str:number>/photographs/add/", shots.add_photographs, name="add-photographs"),
    path("photographs/<int:pk>/", shots.photograph, name="photograph"),
    path("photographs/<int:pk>/caption/", shots.edit_photograph, name="edit-photograph"),
    path("photographs/<int:pk>/points/", shots.points, name="add-point"),
    path("photographs/<int:pk>/points/<int:place>/", shots.points, name="edit-point"),
    path(
        "photographs/<int:pk>/points/<int:place>/remove/",
        shots.remove_point,
        name="remove-point",
    ),
    path("photographs/<int:pk>/shift/", shots.shift_photograph, name="shift-photograph"),
    path("photographs/<int:pk>/remove/", shots.remove_photograph, name="remove-photograph"),
    path("photographs/<int:pk>/<str:size>/", shots.photograph_file, name="photograph-file"),
]
