"""What was seen during a visit."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record
from sideshake.web.visits.models import Visit


class Photograph(Record):
    """A photograph; the file lies in the data folder under a name made from its content."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="photographs")
    stored = models.CharField(max_length=90)
    sha256 = models.CharField(max_length=64)
    format = models.CharField(max_length=8)
    bytes = models.PositiveBigIntegerField()
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True, blank=True)
    caption = models.CharField(_("what it shows"), max_length=200, blank=True)
    marks = models.JSONField(default=list, blank=True)
    """Points on it: {"across": 0 to 1, "down": 0 to 1, "text": ..., "grave": true or false}."""
    place = models.PositiveIntegerField(default=0)
    opens_report = models.BooleanField(_("opens the owner's report"), default=False)
    added_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("place", "id")

    def __str__(self) -> str:
        return self.caption or f"photograph {self.pk}"

    @property
    def fingerprint(self) -> str:
        """Return what the address of its file ends with: another picture has another."""
        return self.sha256[:16]


class LookOver(Record):
    """The answer to one question of the look-over."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="look_over")
    question = models.CharField(max_length=60)
    choice = models.CharField(max_length=1)
    said = models.CharField(max_length=200)
    note = models.CharField(_("note"), max_length=300, blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("visit", "question"), name="one_answer"),)
        ordering = ("id",)

    def __str__(self) -> str:
        return f"{self.question}: {self.said}"


class Severity(models.TextChoices):
    """How bad a finding is."""

    NOTE = "note", _("to be known")
    WORN = "worn", _("worn")
    BROKEN = "broken", _("broken")
    DANGER = "danger", _("will break something or hurt somebody")


class Finding(Record):
    """A fault seen; `key` is set when it is one of the usual findings of the calibre."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="findings")
    key = models.CharField(max_length=60, blank=True)
    title = models.CharField(_("finding"), max_length=160)
    detail = models.TextField(_("what exactly"), blank=True)
    part = models.CharField(_("part"), max_length=80, blank=True)
    severity = models.CharField(_("how bad"), max_length=8, choices=Severity, default=Severity.WORN)
    photograph = models.ForeignKey(
        Photograph, on_delete=models.SET_NULL, null=True, blank=True, related_name="findings"
    )
    mended = models.BooleanField(_("put right"), default=False)
    is_cause = models.BooleanField(_("the cause of what the owner told us"), default=False)

    class Meta:
        ordering = ("id",)
        indexes = (models.Index(fields=("key",)),)

    def __str__(self) -> str:
        return self.title
