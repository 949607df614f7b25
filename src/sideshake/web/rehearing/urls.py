"""The addresses of hearing again."""

from django.urls import path

from sideshake.web.rehearing import views

urlpatterns = [
    path("readings/<int:pk>/hear-again/", views.rehear_reading, name="rehear-reading"),
    path("visits/<str:number>/hear-again/", views.rehear_visit, name="rehear-visit"),
    path("watches/<int:pk>/hear-again/", views.rehear_watch, name="rehear-watch"),
    path("hear-again/", views.rehear_all, name="rehear-all"),
    path("hear-again/<int:pk>/", views.rehearing, name="rehearing"),
    path("hear-again/<int:pk>/stop/", views.stop_rehearing, name="stop-rehearing"),
    path("hear-again/<int:pk>/put-back/", views.put_run_back, name="put-run-back"),
    path("earlier/<int:pk>/put-back/", views.put_reading_back, name="put-reading-back"),
]
