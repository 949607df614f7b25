"""The form for the hours in which the date changes."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from sideshake.core.errors import InputError
from sideshake.movement.calendar import observed
from sideshake.web.base.record_form import RecordForm
from sideshake.web.models import Visit


class DateChangeForm(RecordForm):
    """When the date moves on this very watch, by its own hands turned forward."""

    class Meta:
        model = Visit
        fields = ("date_change_from", "date_change_until")
        widgets = {name: forms.TimeInput({"type": "time"}, format="%H:%M") for name in fields}
        help_texts = {
            "date_change_from": _(
                "The hand time at which the ring first moves or the crown meets resistance, as a "
                "time of the day, such as 22:10."
            ),
            "date_change_until": _(
                "The hand time at which it has moved and the work is free again, such as 00:20."
            ),
        }

    def clean(self) -> dict[str, Any]:
        """Refuse one time without the other, and times that cannot follow each other."""
        cleaned: dict[str, Any] = super().clean() or {}
        begins, moved = cleaned.get("date_change_from"), cleaned.get("date_change_until")
        if self.errors or (begins is None and moved is None):
            return cleaned
        if begins is None or moved is None:
            raise forms.ValidationError(_("Note both times, or neither."))
        try:
            observed(f"{begins:%H:%M}", f"{moved:%H:%M}")
        except InputError as error:
            raise forms.ValidationError(str(error)) from None
        return cleaned
