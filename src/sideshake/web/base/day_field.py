"""How a day is typed in."""

from django import forms


def day_widget() -> forms.DateInput:
    """Return a field in which the browser offers a calendar."""
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
