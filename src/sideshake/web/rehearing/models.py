"""Hearing again: runs over kept recordings, and the figures as they were before."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.core.version import FIRST_EAR
from sideshake.web.readings.models import Reading, ear_words


class Scope(models.TextChoices):
    """Whose readings a run hears again."""

    READING = "reading", _("one reading")
    VISIT = "visit", _("one visit")
    WATCH = "watch", _("one watch")
    ALL = "all", _("all watches")


class Rehearing(models.Model):
    """A run that hears readings again; it goes on until each of them is done, or it is stopped."""

    scope = models.CharField(max_length=7, choices=Scope)
    of = models.CharField(max_length=200, blank=True)
    """Which reading, visit or watch, in words; empty when it is all of them."""
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    program = models.CharField(max_length=40)
    ear = models.PositiveSmallIntegerField()
    begun_at = models.DateTimeField(auto_now_add=True)
    ended_at = models.DateTimeField(null=True)
    stopped = models.BooleanField(default=False)

    class Meta:
        verbose_name = _("hearing again")
        ordering = ("-id",)

    def __str__(self) -> str:
        return self.of or str(self.get_scope_display())

    @property
    def heard_by(self) -> str:
        """Return which ear of which program hears, in words."""
        return ear_words(self.ear, self.program)


class Fate(models.TextChoices):
    """What has become of a reading in a run."""

    WAITING = "waiting", _("waits")
    HEARD = "heard", _("heard again")
    SILENT = "silent", _("gives no reading now")
    FAULT = "fault", _("could not be heard; left as it was")
    LEFT = "left", _("left as it was")


RENEWED = (Fate.HEARD, Fate.SILENT)
"""The reading now says something else, and its figures as they were are kept."""


SETTLED = ("heard", "no-reading")
"""A reading in another state is being listened to, or waits to be heard after it was edited."""


class Earlier(models.Model):
    """A reading in a run, with what it said before: `figures` holds it until it is put back."""

    run = models.ForeignKey(Rehearing, on_delete=models.CASCADE, related_name="readings")
    reading = models.ForeignKey(Reading, on_delete=models.CASCADE, related_name="earlier")
    fate = models.CharField(max_length=7, choices=Fate, default=Fate.WAITING)
    why = models.CharField(max_length=300, blank=True)
    """Why it was left, or says nothing now."""
    sentence = models.CharField(max_length=300, blank=True)
    """What it said before, or why it said nothing."""
    program = models.CharField(max_length=40, blank=True)
    ear = models.PositiveSmallIntegerField(default=FIRST_EAR)
    figures = models.JSONField(default=dict)
    """The columns of the reading that hearing writes, as they were."""
    now = models.CharField(max_length=300, blank=True)
    """What it says since, or why it says nothing."""
    heard_at = models.DateTimeField(null=True)
    """When it was heard again: the figures go back only while nobody has heard it since."""
    put_back_at = models.DateTimeField(null=True)

    class Meta:
        verbose_name = _("earlier figures")
        ordering = ("id",)
        indexes = (models.Index(fields=("fate", "run")),)

    def __str__(self) -> str:
        return self.sentence

    @property
    def heard_by(self) -> str:
        """Return which ear of which program heard the earlier figures, in words."""
        return ear_words(self.ear, self.program)

    @property
    def may_go_back(self) -> bool:
        """Whether the earlier figures can take their place again; `reading` must be fetched."""
        renewed = self.fate in RENEWED and self.put_back_at is None
        reading = self.reading
        return renewed and reading.state in SETTLED and reading.heard_at == self.heard_at
