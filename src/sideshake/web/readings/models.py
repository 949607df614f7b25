"""Recordings and what they say."""

from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from sideshake.core.version import EAR, FIRST_EAR
from sideshake.web.base.models import Record
from sideshake.web.rounds.models import Position, Round, Wound
from sideshake.web.visits.models import Visit


class Recording(models.Model):
    """A sound file as it was given; it lies in the data folder and is never changed."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="recordings")
    stored = models.CharField(max_length=90)
    sha256 = models.CharField(max_length=64)
    bytes = models.PositiveBigIntegerField()
    rate_hz = models.PositiveIntegerField()
    duration_s = models.FloatField()
    added_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"recording {self.pk}"


class Reading(Record):
    """What a recording says; without figures when there was no reading, and then why."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="readings")
    recording = models.ForeignKey(
        Recording, on_delete=models.PROTECT, related_name="readings", null=True
    )
    round = models.ForeignKey(
        Round, on_delete=models.SET_NULL, related_name="readings", null=True, blank=True
    )
    position = models.CharField(
        _("position"), max_length=3, choices=Position, default=Position.UNKNOWN, blank=True
    )
    wound = models.CharField(
        _("wound"), max_length=4, choices=Wound, default=Wound.UNKNOWN, blank=True
    )
    chronograph_on = models.BooleanField(_("chronograph running"), default=False)
    after = models.BooleanField(_("after the work"), default=False)
    lift_angle_deg = models.FloatField(_("lift angle, degrees"), null=True, blank=True)
    lift_angle_u_deg = models.FloatField(null=True, blank=True)
    recorder = models.CharField(_("microphone"), max_length=120, blank=True)
    """Whose sound clock it was recorded by; empty: this computer's."""
    heard_from_s = models.FloatField(default=0.0)
    """What came before in the recording was handling and settling, and is not read."""
    heard_until_s = models.FloatField(null=True)
    """What came after was handling; null: read to the end."""
    heard_at = models.DateTimeField(null=True)
    state = models.CharField(max_length=10, default="waiting")
    """live, waiting, heard or no-reading."""
    program = models.CharField(max_length=40, blank=True)
    """Which version of the program heard it; empty: heard before versions were kept."""
    ear = models.PositiveSmallIntegerField(default=FIRST_EAR)
    """Which ear heard it; says something once it is heard or no reading."""
    sentence = models.CharField(max_length=300, blank=True)
    no_reading = models.CharField(max_length=300, blank=True)
    beats_per_hour = models.FloatField(null=True)
    rate_s_per_day = models.FloatField(null=True)
    rate_u_s_per_day = models.FloatField(null=True)
    rate_alone_u_s_per_day = models.FloatField(null=True)
    """The rate's uncertainty without the sound clock's share, which readings have in common."""
    amplitude_deg = models.FloatField(null=True)
    amplitude_u_deg = models.FloatField(null=True)
    beat_error_ms = models.FloatField(null=True)
    beat_error_u_ms = models.FloatField(null=True)
    figures = models.JSONField(default=dict)
    said_watch = models.BooleanField(_("said to be a watch"), default=False)
    """Read as a watch although it does not sound like one."""
    note = models.CharField(_("note"), max_length=200, blank=True)

    UNTOLD = ("figures", "program", "ear")

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return self.sentence or self.no_reading or "not yet heard"

    @property
    def heard_by(self) -> str:
        """Return which ear of which program heard it, in words."""
        return ear_words(self.ear, self.program)

    @property
    def called(self) -> str:
        """Return its name in a list: the visit, how the watch lay and was wound."""
        parts = (
            self.visit.number,
            str(self.get_position_display()),
            str(self.get_wound_display()) if self.wound else "",
            gettext("chronograph running") if self.chronograph_on else "",
            gettext("after the work") if self.after else gettext("as it came"),
        )
        return ", ".join(part for part in parts if part)

    @property
    def by_this_ear(self) -> bool:
        """Whether the present ear heard it."""
        return self.ear == EAR


def ear_words(ear: int, program: str) -> str:
    """Return an ear and its program in words."""
    if not program:
        return gettext("ear %(ear)d, before versions were kept") % {"ear": ear}
    return gettext("ear %(ear)d of Sideshake %(program)s") % {"ear": ear, "program": program}
