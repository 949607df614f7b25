"""How a watch lay and was wound, and readings in several positions together."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record
from sideshake.web.visits.models import Visit


class Position(models.TextChoices):
    """Positions by ISO 3158, with plain words."""

    CH = "CH", _("CH, dial up")
    FH = "FH", _("FH, dial down")
    H3 = "3H", _("3H, crown up")
    H6 = "6H", _("6H, crown left")
    H9 = "9H", _("9H, crown down")
    H12 = "12H", _("12H, crown right")
    UNKNOWN = "", _("not noted")


class Wound(models.TextChoices):
    """How far the spring was wound."""

    FULL = "full", _("fully wound")
    DAY = "24h", _("24 hours after full wind")
    UNKNOWN = "", _("not noted")


class Round(Record):
    """A set of readings in several positions, in one state of wind; `plan` says which and in turn.

    `plan` holds {"position": "CH", "chronograph_on": false}. A position is heard for `least_s` at
    least and `most_s` at most; in between it ends when both 95 % half-widths wanted are reached.
    """

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="rounds")
    wound = models.CharField(_("wound"), max_length=4, choices=Wound, default=Wound.FULL)
    after = models.BooleanField(_("after the work"), default=False)
    lift_angle_deg = models.FloatField(_("lift angle, degrees"), null=True, blank=True)
    plan = models.JSONField(default=list)
    rest_s = models.PositiveIntegerField(_("rest before each, seconds"), default=15)
    least_s = models.PositiveIntegerField(_("listen at least, seconds"), default=30)
    most_s = models.PositiveIntegerField(_("listen at most, seconds"), default=120)
    wanted_rate_s_per_day = models.FloatField(_("rate wanted within, s a day"), default=0.5)
    wanted_amplitude_deg = models.FloatField(_("amplitude wanted within, degrees"), default=3.0)
    begun_at = models.DateTimeField(auto_now_add=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    UNTOLD = ("plan",)

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return f"{self.get_wound_display()}, {len(self.plan)} positions"
