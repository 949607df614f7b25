"""Measured sizes."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record
from sideshake.web.evidence.models import Photograph
from sideshake.web.visits.models import Visit


class Measurement(Record):
    """One measured size; `key` is its place in a measurement file, such as above.hole_long_mm.

    Of another bearing than the barrel's it begins with `bearing.`: bearing.third.above.hole_mm.
    """

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="measurements")
    key = models.CharField(_("what"), max_length=60)
    value = models.FloatField(_("value"), null=True, blank=True)
    u = models.FloatField(_("standard uncertainty"), null=True, blank=True)
    word = models.CharField(_("in words"), max_length=60, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)
    instrument = models.CharField(_("measured with"), max_length=40, blank=True)
    after = models.BooleanField(_("measured after the work"), default=False)
    photograph = models.ForeignKey(
        Photograph, on_delete=models.SET_NULL, null=True, blank=True, related_name="measurements"
    )
    """In which it was measured; none where it was typed."""

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("visit", "key", "after"), name="one_size_each"),
        )
        ordering = ("id",)

    def __str__(self) -> str:
        return self.key
