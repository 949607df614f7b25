"""Programmes of daily rates."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record
from sideshake.web.visits.models import Visit


class Programme(Record):
    """Fifteen days of daily rates, to be compared with the criteria of ISO 3159.

    `states` holds {"at": ISO time, "state_s": watch minus reference}; the first begins day 1, each
    further one ends a day.
    """

    class Size(models.TextChoices):
        """Which limits hold: they depend on the movement's diameter."""

        LARGE = "large", _("over 20 mm")
        SMALL = "small", _("20 mm or less")

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="programmes")
    size = models.CharField(_("movement's diameter"), max_length=5, choices=Size)
    begun_on = models.DateField(_("begun on"))
    after = models.BooleanField(_("after the work"), default=True)
    state_u_s = models.FloatField(_("one comparison is right within, s"), default=0.2)
    states = models.JSONField(default=list)
    ended_on = models.DateField(null=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    UNTOLD = ("states",)

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return f"daily rates from {self.begun_on}"
