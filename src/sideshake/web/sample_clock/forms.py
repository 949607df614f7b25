"""Forms for checking a sound clock."""

from django import forms
from django.utils.translation import gettext_lazy as _

from sideshake.sample_clock.checked import USUAL_PER_HOUR, USUAL_WITHIN_PPM, WITHIN_MOST_PPM
from sideshake.sample_clock.kept import USUAL_RECORDER
from sideshake.sound.listener import TOLD_PER_HOUR
from sideshake.web.base.number_fields import NumberField
from sideshake.web.sample_clock.session import Reference

RECORDER_LENGTH = 120


class ReferenceForm(forms.Form):
    """A tick whose beat is known; left out, a quartz watch that steps once a second."""

    use_required_attribute = False
    beats_per_hour = NumberField(
        label=_("steps or beats an hour"),
        initial=USUAL_PER_HOUR,
        required=False,
        help_text=_("3600: one a second"),
    )
    within_ppm = NumberField(
        label=_("right within, ppm"),
        initial=USUAL_WITHIN_PPM,
        required=False,
        help_text=_("10 for an ordinary quartz watch, 0 for a satellite pulse"),
    )
    recorder = forms.CharField(
        label=_("microphone"),
        max_length=RECORDER_LENGTH,
        required=False,
        widget=forms.HiddenInput,
    )

    def clean_beats_per_hour(self) -> float:
        """Return the beats an hour as a number; refuse what cannot be heard."""
        told = self.cleaned_data["beats_per_hour"]
        return within(USUAL_PER_HOUR if told is None else float(told), TOLD_PER_HOUR)

    def clean_within_ppm(self) -> float:
        """Return the bound as a number; refuse what would check nothing."""
        told = self.cleaned_data["within_ppm"]
        return within(USUAL_WITHIN_PPM if told is None else float(told), (0.0, WITHIN_MOST_PPM))

    def reference(self) -> Reference:
        """Return the reference that was filled in."""
        return Reference(
            recorder=self.cleaned_data["recorder"] or USUAL_RECORDER,
            beats_per_hour=self.cleaned_data["beats_per_hour"],
            within_ppm=self.cleaned_data["within_ppm"],
        )


class TickRecordingForm(ReferenceForm):
    """The recording of such a tick, and what recorded it."""

    field_order = ("recording", "recorder", "beats_per_hour", "within_ppm")
    recording = forms.FileField(
        label=_("recording"),
        help_text=_("WAV, FLAC, OGG or MP3; five minutes, an hour at most"),
        widget=forms.FileInput(attrs={"accept": "audio/*,.wav,.flac"}),
        error_messages={"required": _("choose a recording first")},
    )
    recorder = forms.CharField(
        label=_("recorded with"),
        max_length=RECORDER_LENGTH,
        initial=USUAL_RECORDER,
        required=False,
        help_text=_("a name; “this computer” serves every recording added by hand"),
    )


def within(value: float, allowed: tuple[float, float]) -> float:
    """Return a value that lies in a range.

    Raises
    ------
    ValidationError : it does not
    """
    if not allowed[0] <= value <= allowed[1]:
        raise forms.ValidationError(
            _("%(least)g to %(most)g is allowed"),
            params={"least": allowed[0], "most": allowed[1]},
        )
    return value
