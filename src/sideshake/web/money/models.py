"""Invoices and payments."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record, money
from sideshake.web.visits.models import Visit


class Invoice(Record):
    """An invoice; its number has no gaps, and once issued it never changes."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="invoices")
    kind = models.CharField(
        _("kind"),
        max_length=8,
        choices=[("work", _("for work done")), ("deposit", _("for a deposit"))],
        default="work",
    )
    number = models.CharField(max_length=20, unique=True)
    issued_on = models.DateField(_("issued on"))
    due_on = models.DateField(_("due on"))
    supplied_on = models.DateField(_("work supplied on"), null=True, blank=True)
    currency = models.CharField(max_length=3)
    prices_hold_tax = models.BooleanField(default=True)
    tax_wording = models.CharField(max_length=200, blank=True)
    cancels = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="cancelled_by"
    )
    lines = models.JSONField(default=list)
    """As an option's lines, copied when it was issued; also {"no_tax": why there is none}, and of
    the kind deposit what a deposit invoice asked for."""
    note = models.TextField(_("note on the invoice"), blank=True)
    rights = models.TextField(_("the customer's rights"), blank=True)
    issued_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )

    class Meta:
        ordering = ("number",)

    def __str__(self) -> str:
        return self.number


class Payment(Record):
    """Money that came in for a visit, or went back."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="payments")
    amount = money(verbose_name=_("amount"))
    currency = models.CharField(max_length=3)
    on = models.DateField(_("on"))
    how = models.CharField(_("how"), max_length=60, blank=True)
    deposit = models.BooleanField(_("is the deposit"), default=False)
    note = models.CharField(_("note"), max_length=200, blank=True)
    invoice = models.ForeignKey(
        Invoice, on_delete=models.PROTECT, null=True, blank=True, related_name="payments",
        verbose_name=_("for invoice"),
    )  # fmt: skip

    class Meta:
        ordering = ("on", "id")

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"
