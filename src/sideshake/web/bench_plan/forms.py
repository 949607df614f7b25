"""Forms for the plan and the tests."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.web.base.record_form import RecordForm
from sideshake.web.base.size_fields import ValueField, WithinField
from sideshake.web.models import PlanStep


class StepForm(RecordForm):
    """What was done at one step."""

    class Meta:
        model = PlanStep
        fields = ("title", "minutes", "planned_minutes", "note")
        labels = {"planned_minutes": gettext_lazy("Planned minutes")}
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}


class OwnStepForm(RecordForm):
    """A step of one's own."""

    class Meta:
        model = PlanStep
        fields = ("title", "planned_minutes", "how")
        labels = {"planned_minutes": gettext_lazy("Planned minutes")}
        widgets = {"how": forms.Textarea(attrs={"rows": 3})}


class HomeTestForm(RecordForm):
    """The result of a test; value and uncertainty only where something is measured."""

    value = ValueField(label=gettext_lazy("Value"), required=False)
    u = WithinField(
        label=gettext_lazy("± (95 % interval)"),
        required=False,
        help_text=gettext_lazy("as the readings show it"),
    )

    class Meta:
        model = PlanStep
        fields = ("value", "u", "result", "note")
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Ask for a value only where the test has a unit."""
        super().__init__(*args, **kwargs)
        if self.instance.unit:
            label = _("Value, %(unit)s") % {"unit": self.instance.unit}
            self.fields["value"].label = label
        else:
            del self.fields["value"], self.fields["u"]

    def clean(self) -> dict[str, Any]:
        """Refuse an uncertainty below zero or without a value, and leaving out without a reason."""
        cleaned: dict[str, Any] = super().clean() or {}
        u = cleaned.get("u")
        if u is not None and u < 0:
            self.add_error("u", _("An uncertainty is 0 or more."))
        if u is not None and cleaned.get("value") is None:
            self.add_error("value", _("There is an uncertainty and no value."))
        if cleaned.get("result") == PlanStep.Result.SKIPPED and not cleaned.get("note"):
            self.add_error("note", _("Say why the test is left out."))
        return cleaned
