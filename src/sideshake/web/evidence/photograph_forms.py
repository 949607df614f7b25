"""Forms for a photograph and for the points on it."""

from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.web.base.number_fields import NumberField
from sideshake.web.base.record_form import RecordForm
from sideshake.web.evidence.photographs import MOST_MARK_LETTERS, point
from sideshake.web.models import Photograph


class CaptionForm(RecordForm):
    """What a photograph shows."""

    class Meta:
        model = Photograph
        fields = ("caption", "opens_report")


def hundredths(label: Any) -> NumberField:
    """Return a field for a place in the picture, in hundredths of its width or height."""
    return NumberField(label=label, validators=[MinValueValidator(0), MaxValueValidator(100)])


class PointForm(RecordForm):
    """A point on a photograph: where it is, what is there, and whether it is grave."""

    text = forms.CharField(label=gettext_lazy("What is there"), max_length=MOST_MARK_LETTERS)
    grave = forms.BooleanField(label=gettext_lazy("This will break something"), required=False)
    across = hundredths(gettext_lazy("From the left, %"))
    down = hundredths(gettext_lazy("From the top, %"))
    was = forms.CharField(widget=forms.HiddenInput, required=False, strip=False)
    """The text of the point that is being changed, as the page showed it."""

    class Meta:
        model = Photograph
        fields = ()

    def __init__(self, *args: Any, at: int | None = None, **kwargs: Any) -> None:
        """Show the point at a place in the list, or an empty one in the middle."""
        super().__init__(*args, auto_id="%s", **kwargs)
        self.at = at
        marks = self.instance.marks
        if at is not None and at < len(marks):
            self.show(marks[at])

    def show(self, mark: dict[str, Any]) -> None:
        """Fill the fields from a point as it is kept."""
        shown = {
            "text": mark["text"],
            "was": mark["text"],
            "grave": mark["grave"],
            "across": round(100 * mark["across"], 2),
            "down": round(100 * mark["down"], 2),
        }
        self.initial = {**shown, **self.initial}

    def clean(self) -> dict[str, Any]:
        """Refuse to write over a point that is no longer the one that was shown."""
        cleaned: dict[str, Any] = super().clean() or {}
        texts = [mark["text"] for mark in self.instance.marks]
        if self.at is not None and texts[self.at : self.at + 1] != [cleaned.get("was")]:
            raise forms.ValidationError(
                _(
                    "Somebody has changed the points of this photograph meanwhile; nothing was "
                    "overwritten. Choose the point again from the list."
                )
            )
        return cleaned

    def save(self, commit: bool = True) -> Photograph:
        """Return the photograph with the point in its list, not yet written."""
        typed = self.cleaned_data
        found: Photograph = self.instance
        new = point(
            float(typed["across"]) / 100,
            float(typed["down"]) / 100,
            typed["text"],
            grave=typed["grave"],
        )
        at = len(found.marks) if self.at is None else self.at
        found.marks = [*found.marks[:at], new, *found.marks[at + 1 :]]
        if commit:
            found.save()
        return found
