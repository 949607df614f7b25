"""What goes out to others."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.fit.making import PACKING
from sideshake.fit.materials import MATERIALS, RUBY
from sideshake.fit.shape import BoreShape
from sideshake.web.base.models import Record, money
from sideshake.web.visits.models import Visit


class JewelOrder(Record):
    """An order to a jewel maker, gathered from the wishes of several visits."""

    number = models.CharField(max_length=20, unique=True)
    to = models.CharField(_("jewel maker"), max_length=120)
    ordered_on = models.DateField(_("ordered on"))
    wanted_on = models.DateField(_("wanted by"), null=True, blank=True)
    ask = models.CharField(_("whom the maker asks"), max_length=120, blank=True)
    packing = models.CharField(
        _("how they are packed"), max_length=200, blank=True, default=PACKING
    )
    received_on = models.DateField(_("received on"), null=True, blank=True)
    note = models.CharField(_("note for us"), max_length=200, blank=True)

    class Meta:
        ordering = ("-ordered_on", "-id")

    def __str__(self) -> str:
        return self.number


class Outwork(Record):
    """Work that goes out to somebody else; a jewel to be made has its sizes and its shape."""

    class Hole(models.TextChoices):
        """How the wall of a jewel's hole runs."""

        STRAIGHT = BoreShape.STRAIGHT.value, _("straight")
        OLIVE = BoreShape.OLIVE.value, _("olive")

    SHAPE = (
        "hole_mm", "outside_mm", "thickness_mm", "material", "colour", "bore", "sink", "quantity",
    )  # fmt: skip
    """What a maker goes by."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="outwork")
    to = models.CharField(_("to whom"), max_length=120, blank=True)
    what = models.CharField(_("what"), max_length=200)
    sent_on = models.DateField(_("sent on"), null=True, blank=True)
    due_on = models.DateField(_("expected on"), null=True, blank=True)
    back_on = models.DateField(_("back on"), null=True, blank=True)
    cost = money(verbose_name=_("cost to us"), null=True, blank=True)
    jewel = models.BooleanField(_("a jewel to be made"), default=False)
    hole_mm = models.FloatField(_("hole, mm"), null=True, blank=True)
    outside_mm = models.FloatField(_("outside, mm"), null=True, blank=True)
    thickness_mm = models.FloatField(_("thickness, mm"), null=True, blank=True)
    material = models.CharField(
        _("material"),
        max_length=30,
        choices=[(name, _(name)) for name in MATERIALS],
        default=RUBY.name,
        blank=True,
    )
    colour = models.CharField(_("colour of a ruby"), max_length=30, default="red", blank=True)
    bore = models.CharField(
        _("hole is"), max_length=8, choices=Hole, default=Hole.STRAIGHT, blank=True
    )
    sink = models.BooleanField(_("with an oil sink"), default=True)
    quantity = models.PositiveIntegerField(_("how many"), default=1)
    order = models.ForeignKey(
        JewelOrder, on_delete=models.SET_NULL, null=True, blank=True, related_name="wishes"
    )
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta:
        ordering = ("id",)
        indexes = (models.Index(fields=("jewel", "order")),)

    def __str__(self) -> str:
        return self.what
