"""One stay in the workshop."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record, Step, money
from sideshake.web.owners.models import Watch


class Visit(Record):
    """A watch's stay here, from the parcel to gone home."""

    number = models.CharField(_("number"), max_length=20, unique=True)
    watch = models.ForeignKey(
        Watch, on_delete=models.PROTECT, related_name="visits", verbose_name=_("watch")
    )
    step = models.CharField(_("step"), max_length=14, choices=Step, default=Step.ARRIVED)
    step_since = models.DateField(_("in this step since"))
    received_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    arrived_on = models.DateField(_("arrived on"))
    promised_on = models.DateField(_("promised for"), null=True, blank=True)
    complaint = models.TextField(_("what is wrong, in the owner's words"), blank=True)
    runs = models.BooleanField(_("runs as it came"), null=True, blank=True)
    polish = models.BooleanField(_("the case may be polished"), default=False)
    keep = models.CharField(
        _("must stay as it is"), max_length=200, blank=True, help_text=_("dial, hands, crown ...")
    )
    return_old_parts = models.BooleanField(_("old parts go back to the owner"), default=True)
    accessories = models.CharField(
        _("came with"), max_length=200, blank=True, help_text=_("box, papers, strap, links")
    )
    budget_limit = money(verbose_name=_("not more than"), null=True, blank=True)
    declared_value = money(verbose_name=_("value the owner states"), null=True, blank=True)
    insured_here = models.BooleanField(_("insured while here"), default=False)
    # parcel
    carrier_in = models.CharField(_("came by"), max_length=80, blank=True)
    tracking_in = models.CharField(_("parcel number in"), max_length=60, blank=True)
    parcel_seen = models.TextField(_("the parcel as it came"), blank=True)
    carrier_out = models.CharField(_("sent by"), max_length=80, blank=True)
    tracking_out = models.CharField(_("parcel number out"), max_length=60, blank=True)
    insured_out = money(verbose_name=_("insured on the way for"), null=True, blank=True)
    packed = models.TextField(_("how it was packed"), blank=True)
    gone_home_on = models.DateField(_("gone home on"), null=True, blank=True)
    declined_why = models.TextField(_("why it was declined"), blank=True)
    # afterwards
    warranty_until = models.DateField(_("warranty until"), null=True, blank=True)
    next_service_on = models.DateField(_("next service"), null=True, blank=True)
    advice = models.TextField(_("advice to the owner"), blank=True)
    note = models.TextField(_("note for the workshop"), blank=True)
    date_change_from = models.TimeField(_("date begins to move at"), null=True, blank=True)
    date_change_until = models.TimeField(_("date has moved at"), null=True, blank=True)
    show_agreed_on = models.DateField(_("owner agreed to show it on"), null=True, blank=True)
    show_agreed_how = models.CharField(_("how the owner agreed"), max_length=200, blank=True)

    UNTOLD = ("step_since",)
    earlier: "list[Visit]"
    """The watch's stays before this one; set by `queries.whole_visit`."""

    class Meta:
        ordering = ("-arrived_on", "-id")
        indexes = (
            models.Index(fields=("step", "promised_on")),
            models.Index(fields=("arrived_on",)),
            models.Index(fields=("warranty_until",)),
            models.Index(fields=("next_service_on",)),
        )

    def __str__(self) -> str:
        return self.number

    @property
    def visit_of(self) -> "Visit":
        """Return the visit itself."""
        return self


class VisitText(models.Model):
    """Everything written about a visit, folded for searching."""

    visit = models.OneToOneField(
        Visit, on_delete=models.CASCADE, primary_key=True, related_name="text"
    )
    folded = models.TextField()
    unpriced = models.TextField(null=True)
    """The same without what is said of prices, for apprentices; None until it is written."""


class Change(models.Model):
    """Who changed what, and when. Rows are only ever added."""

    at = models.DateTimeField(auto_now_add=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, null=True, related_name="changes")
    kind = models.CharField(max_length=40)
    row = models.BigIntegerField()
    what = models.CharField(max_length=200)
    fields = models.JSONField(default=dict)

    class Meta:
        ordering = ("-at", "-id")
        indexes = (
            models.Index(fields=("visit", "-at")),
            models.Index(fields=("kind", "row")),
        )
