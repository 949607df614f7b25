"""The drawer: jewels, reamers, springs and parts on hand, and which watch got which piece."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record, money
from sideshake.web.visits.models import Visit


class Kind(models.TextChoices):
    """What lies in the drawer."""

    JEWEL = "jewel", _("jewel")
    BUSH = "bush", _("bush")
    REAMER = "reamer", _("reamer")
    SPRING = "spring", _("spring")
    PART = "part", _("part")
    SUPPLY = "supply", _("oil, gasket or other supply")


class Item(Record):
    """A kind of piece; how many there are follows from its batches and uses."""

    kind = models.CharField(_("kind"), max_length=8, choices=Kind, default=Kind.PART)
    name = models.CharField(_("name"), max_length=120)
    place = models.CharField(_("where it lies"), max_length=60, blank=True)
    hole_mm = models.FloatField(_("hole, mm"), null=True, blank=True)
    outside_mm = models.FloatField(_("outside, mm"), null=True, blank=True)
    thickness_mm = models.FloatField(_("thickness, mm"), null=True, blank=True)
    calibre = models.CharField(_("for calibre"), max_length=80, blank=True)
    low_at = models.PositiveIntegerField(_("low when only"), default=0)
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        ordering = ("kind", "name", "id")

    def __str__(self) -> str:
        return self.name


class Batch(Record):
    """One delivery of an item."""

    item = models.ForeignKey(Item, on_delete=models.CASCADE, related_name="batches")
    label = models.CharField(_("batch"), max_length=60, blank=True)
    supplier = models.CharField(_("supplier"), max_length=120, blank=True)
    origin = models.CharField(
        _("origin"),
        max_length=10,
        choices=[
            ("original", _("original")),
            ("old-stock", _("old stock, unused")),
            ("generic", _("generic")),
            ("made", _("made for us or here")),
        ],
        default="generic",
    )
    received_on = models.DateField(_("received on"))
    quantity = models.PositiveIntegerField(_("how many"))
    cost = money(verbose_name=_("cost each"), null=True, blank=True)

    class Meta:
        ordering = ("received_on", "id")
        verbose_name_plural = "batches"

    def __str__(self) -> str:
        return self.label or f"batch {self.pk}"


class Used(Record):
    """A piece that went into a watch."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="used")
    batch = models.ForeignKey(Batch, on_delete=models.PROTECT, related_name="used")
    quantity = models.PositiveIntegerField(_("how many"), default=1)
    on = models.DateField(_("on"))
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    old_part = models.CharField(
        _("the old part"),
        max_length=10,
        choices=[
            ("none", _("there was none")),
            ("returned", _("goes back to the owner")),
            ("kept", _("kept here")),
        ],
        default="returned",
    )
    note = models.CharField(_("where it went"), max_length=200, blank=True)

    class Meta:
        ordering = ("on", "id")

    def __str__(self) -> str:
        return f"{self.quantity} × {self.batch}"
