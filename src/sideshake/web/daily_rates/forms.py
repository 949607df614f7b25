"""Forms for a programme of daily rates and its comparisons."""

from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.analysis.daily_rates import CourseEntry
from sideshake.web.base.day_field import day_widget
from sideshake.web.base.record_form import RecordForm
from sideshake.web.base.size_fields import SizeField, ValueField
from sideshake.web.base.version_field import SeenField
from sideshake.web.models import Programme

HALF_A_TURN_S = 12 * 3600.0
"""On a dial of twelve hours no watch can be further off."""


class ProgrammeForm(RecordForm):
    """Which limits hold, when it begins, how well one comparison is made."""

    state_u_s = SizeField(
        label=gettext_lazy("Standard uncertainty of one comparison, s"),
        help_text=gettext_lazy("by eye and ear about 0.2 s (common practice)"),
    )

    class Meta:
        model = Programme
        fields = ("size", "begun_on", "after", "state_u_s", "note")
        widgets = {"begun_on": day_widget()}


class StateForm(forms.Form):
    """The watch against the reference at one moment."""

    seen = SeenField()
    state_s = ValueField(
        label=gettext_lazy("Watch minus reference, s"),
        help_text=gettext_lazy("+ when the watch is ahead"),
    )
    at = forms.DateTimeField(
        label=gettext_lazy("Compared at"),
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        help_text=gettext_lazy("by the reference"),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Write labels as our forms do; the moment is now unless another is typed."""
        super().__init__(*args, **kwargs)
        self.label_suffix = ""
        self.fields["at"].initial = timezone.localtime

    def clean_state_s(self) -> float:
        """Refuse a state that no dial can show."""
        state = float(self.cleaned_data["state_s"])
        if abs(state) > HALF_A_TURN_S:
            raise forms.ValidationError(_("A watch is at most 12 hours, 43 200 s, off."))
        return state

    def entry(self) -> CourseEntry:
        """Return what was typed as a line of the book."""
        sent = self.cleaned_data
        return CourseEntry(at=sent["at"], state_s=sent["state_s"], counts=sent.get("counts", True))


class ComparisonForm(StateForm):
    """The comparison of the day."""

    anew = forms.BooleanField(
        label=gettext_lazy("The watch was set or had stopped: begin the day anew"), required=False
    )


class MendForm(StateForm):
    """A comparison that was made before."""

    counts = forms.BooleanField(
        label=gettext_lazy("The day that ends here counts"),
        required=False,
        help_text=gettext_lazy("not when the watch was set, stopped or lay otherwise"),
    )
