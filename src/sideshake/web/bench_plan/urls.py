"""The addresses of the bench plan and the tests before a watch goes home."""

from django.urls import path

from sideshake.web.bench_plan import home_test_views, views

urlpatterns = [
    path("visits/<str:number>/plan/", views.plan, name="plan"),
    path("visits/<str:number>/plan/make/", views.make_plan, name="make-plan"),
    path("visits/<str:number>/plan/new/", views.new_step, name="new-step"),
    path("plan/<int:pk>/", views.edit_step, name="plan-step"),
    path("plan/<int:pk>/done/", views.tick_step, name="tick-step"),
    path("plan/<int:pk>/clock/", views.turn_clock, name="turn-clock"),
    path("plan/<int:pk>/skip/", views.skip_step, name="skip-step"),
    path("plan/<int:pk>/shift/", views.shift_step, name="shift-step"),
    path("plan/<int:pk>/remove/", views.remove_step, name="remove-step"),
    path("visits/<str:number>/tests/", home_test_views.home_tests, name="home-tests"),
    path("visits/<str:number>/tests/make/", home_test_views.make_tests, name="make-tests"),
    path("visits/<str:number>/date-change/", home_test_views.date_change, name="date-change"),
    path("tests/<int:pk>/", home_test_views.edit_test, name="home-test"),
    path("tests/<int:pk>/result/", home_test_views.result, name="test-result"),
    path("tests/<int:pk>/remove/", home_test_views.remove_test, name="remove-test"),
]
