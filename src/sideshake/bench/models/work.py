"""The bench plan, and what goes out to others."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.bench.models.base import Record, money
from sideshake.bench.models.visits import Visit
from sideshake.fit.making import PACKING
from sideshake.fit.materials import MATERIALS, RUBY
from sideshake.fit.shape import Bore


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

        STRAIGHT = Bore.STRAIGHT.value, _("straight")
        OLIVE = Bore.OLIVE.value, _("olive")

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
