"""What was seen, measured and heard."""

from django.urls import path

from sideshake.bench.views import hearing_again, jewel_papers, measure, readings
from sideshake.bench.views import photographs as shots

urlpatterns = [
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
    path("visits/<str:number>/measure/", measure.measure, name="measure"),
    path(
        "visits/<str:number>/measure/after/",
        measure.measure,
        {"after": True},
        name="measure-after",
    ),
    path("visits/<str:number>/section.svg", measure.section_picture, name="section-picture"),
    path("visits/<str:number>/jewel/<str:place>/", measure.jewel, name="jewel"),
    path(
        "visits/<str:number>/jewel/<str:place>/drawing.<str:ending>",
        jewel_papers.part_drawing,
        name="jewel-drawing",
    ),
    path("visits/<str:number>/jewel/<str:place>/have-made/", measure.have_made, name="have-made"),
    path("visits/<str:number>/recordings/add/", readings.add_recordings, name="add-recordings"),
    path("readings/<int:pk>/", readings.reading, name="reading"),
    path("readings/<int:pk>/edit/", readings.edit_reading, name="edit-reading"),
    path("readings/<int:pk>/stop/", readings.stop_reading, name="stop-reading"),
    path("readings/<int:pk>/a-watch/", readings.call_it_a_watch, name="a-watch"),
    path("readings/<int:pk>/no-watch/", readings.call_it_no_watch, name="no-watch"),
    path("readings/<int:pk>/remove/", readings.remove_reading, name="remove-reading"),
    path("readings/<int:pk>/sound/", readings.recording_file, name="recording-file"),
    path("readings/<int:pk>/hear-again/", hearing_again.rehear_reading, name="rehear-reading"),
    path("visits/<str:number>/hear-again/", hearing_again.rehear_visit, name="rehear-visit"),
    path("watches/<int:pk>/hear-again/", hearing_again.rehear_watch, name="rehear-watch"),
    path("hear-again/", hearing_again.rehear_all, name="rehear-all"),
    path("hear-again/<int:pk>/", hearing_again.rehearing, name="rehearing"),
    path("hear-again/<int:pk>/stop/", hearing_again.stop_rehearing, name="stop-rehearing"),
    path("hear-again/<int:pk>/put-back/", hearing_again.put_run_back, name="put-run-back"),
    path("earlier/<int:pk>/put-back/", hearing_again.put_reading_back, name="put-reading-back"),
    path("readings/<int:pk>/<str:kind>.svg", readings.reading_picture, name="reading-picture"),
]
