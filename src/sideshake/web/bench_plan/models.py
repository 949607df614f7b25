"""The bench plan."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record
from sideshake.web.visits.models import Visit


class PlanStep(Record):
    """One step of the bench plan; a test before the watch goes home is a step with a result."""

    class Kind(models.TextChoices):
        """Work, or a test of it."""

        WORK = "work", _("work")
        TEST = "test", _("test")

    class Result(models.TextChoices):
        """What a test showed; a step of the work has one only when it was left out."""

        GOOD = "good", _("good")
        BAD = "bad", _("not good")
        SKIPPED = "skip", _("left out")
        NONE = "", _("not done")

    kind = models.CharField(max_length=4, choices=Kind, default=Kind.WORK)
    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="plan")
    key = models.CharField(max_length=60)
    place = models.PositiveIntegerField()
    title = models.CharField(_("step"), max_length=160)
    how = models.TextField(_("how"), blank=True)
    caution = models.TextField(blank=True)
    planned_minutes = models.PositiveIntegerField(null=True, blank=True)
    minutes = models.PositiveIntegerField(_("minutes"), null=True, blank=True)
    started_at = models.DateTimeField(null=True)
    done_at = models.DateTimeField(null=True)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    value = models.FloatField(_("value"), null=True, blank=True)
    u = models.FloatField(_("standard uncertainty"), null=True, blank=True)
    unit = models.CharField(max_length=20, blank=True)
    result = models.CharField(
        _("result"), max_length=4, choices=Result, default=Result.NONE, blank=True
    )
    note = models.TextField(_("note"), blank=True)

    UNTOLD = ("place",)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("visit", "key"), name="one_step_each"),)
        ordering = ("kind", "place", "id")

    def __str__(self) -> str:
        return self.title
