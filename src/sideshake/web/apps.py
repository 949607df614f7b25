"""The application as Django knows it."""

from django.apps import AppConfig


class BenchConfig(AppConfig):
    """The workshop at the bench."""

    name = "sideshake.web"
    label = "bench"
    default_auto_field = "django.db.models.BigAutoField"
