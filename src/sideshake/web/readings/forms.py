"""Forms for readings."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from sideshake.timing.amplitude import LIFT_RANGE_DEG
from sideshake.web.base.number_fields import NumberField
from sideshake.web.base.record_form import RecordForm
from sideshake.web.models import Reading


class ReadingForm(RecordForm):
    """How a watch lay and was wound when it was heard."""

    lift_angle_deg = NumberField(
        label=_("lift angle, degrees"), required=False, help_text=_("left out: the calibre's")
    )

    class Meta:
        model = Reading
        fields: tuple[str, ...] = (
            "position", "wound", "after", "chronograph_on", "lift_angle_deg", "note",
        )  # fmt: skip

    def clean_lift_angle_deg(self) -> Any:
        """Return the lift angle as a number; refuse what no escapement has."""
        angle = self.cleaned_data["lift_angle_deg"]
        if angle is not None and not LIFT_RANGE_DEG[0] <= angle <= LIFT_RANGE_DEG[1]:
            raise forms.ValidationError(_("a lift angle lies between 10 and 90 degrees"))
        return None if angle is None else float(angle)


class LiveForm(ReadingForm):
    """The same for a watch about to be listened to; a note comes later."""

    class Meta(ReadingForm.Meta):
        fields = ("position", "wound", "chronograph_on", "after", "lift_angle_deg")
