"""Papers as they were issued."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record
from sideshake.web.visits.models import Visit


class Issued(Record):
    """A paper as it was issued; its file lies in the data folder, named by its content.

    It never changes: neither the row nor the file.
    """

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="issued")
    kind = models.CharField(_("kind"), max_length=12)
    of = models.CharField(_("of"), max_length=40)
    """What its file is named after: the visit, the invoice, the version of the proposal."""
    edition = models.PositiveIntegerField(_("issue"), default=1)
    issued_on = models.DateField(_("issued on"))
    to = models.TextField(_("address"), blank=True)
    letterhead = models.JSONField(_("letterhead"), default=dict)
    lacks = models.JSONField(_("what it does not say"), default=list)
    stored = models.CharField(max_length=90)
    sha256 = models.CharField(max_length=64)
    bytes = models.PositiveBigIntegerField()
    program = models.CharField(_("version of the program"), max_length=20)
    issued_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )

    UNTOLD = ("letterhead", "lacks", "stored", "bytes", "program")

    class Meta:
        verbose_name = _("issued paper")
        ordering = ("id",)
        constraints = (models.UniqueConstraint(fields=("kind", "of", "edition"), name="one_issue"),)

    def __str__(self) -> str:
        return f"{self.kind} {self.of}"
