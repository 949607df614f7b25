"""The workshop itself."""

from typing import Any, cast

from django.core.cache import cache
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Record, money, no_tax
from sideshake.workshop_rules.usual_words import GUARANTEE, WARRANTY, WITHDRAWAL

UNNAMED = "The workshop"
"""What a workshop is called until somebody says how."""


class Workshop(Record):
    """The workshop's own name, wording and rules; there is one row."""

    name = models.CharField(_("name"), max_length=120, default=UNNAMED)
    address = models.TextField(_("address"), blank=True)
    country = models.CharField(_("country"), max_length=2, blank=True)
    """Two letters of ISO 3166-1; empty: the locale's."""
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("email"), blank=True)
    website = models.CharField(_("web address"), max_length=120, blank=True)
    tax_number = models.CharField(_("tax number"), max_length=40, blank=True)
    tax_label = models.CharField(_("what that number is called"), max_length=40, blank=True)
    bank = models.TextField(_("bank details"), blank=True)
    iban = models.CharField(_("IBAN"), max_length=42, blank=True)
    bic = models.CharField(_("BIC"), max_length=14, blank=True)
    locale = models.CharField(
        _("locale"),
        max_length=20,
        default="en_GB",
        help_text=_("decides how dates, money and decimals are written, such as en_GB or de_CH"),
    )
    currency = models.CharField(_("currency"), max_length=3, default="EUR")
    tax_percent = models.DecimalField(_("tax, percent"), max_digits=6, decimal_places=3, default=0)
    prices_hold_tax = models.BooleanField(_("prices include the tax"), default=True)
    no_tax = no_tax(verbose_name=_("usual reason when no tax is charged"))
    tax_wording = models.CharField(_("wording when no tax is charged"), max_length=200, blank=True)
    hourly_rate = money(verbose_name=_("rate for an hour of work"), default=80)
    hours_a_week = models.DecimalField(
        _("hours of work in a week"),
        max_digits=4,
        decimal_places=1,
        default=30,
        help_text=_("at the bench, of all who work here; tells how many weeks the work is"),
    )
    prices_to = money(
        verbose_name=_("round prices to"),
        default=0,
        help_text=_("such as 1 or 5: suggested prices are rounded up or down to it; 0 leaves them"),
    )
    deposit_percent = models.DecimalField(
        _("usual deposit, percent"), max_digits=6, decimal_places=3, default=30
    )
    proposal_days = models.PositiveIntegerField(_("a proposal holds, days"), default=30)
    payment_days = models.PositiveIntegerField(_("an invoice is due in, days"), default=14)
    warranty_months = models.PositiveIntegerField(_("warranty, months"), default=12)
    service_months = models.PositiveIntegerField(_("next service after, months"), default=48)
    keep_years = models.PositiveIntegerField(
        _("invoices and payments are kept, years"),
        default=10,
        help_text=_("after the end of their year, when an owner is erased; check your local law"),
    )
    card_across_mm = models.FloatField(_("the card's line across, mm"), null=True, blank=True)
    card_along_mm = models.FloatField(_("the card's line along, mm"), null=True, blank=True)
    """How long the two 100 mm lines of the card for photographs came out of this printer."""
    warranty_wording = models.TextField(
        _("what the warranty covers"),
        default=WARRANTY,
        blank=True,
    )

    paper = models.CharField(
        _("paper"),
        max_length=9,
        choices=(("a4", _("A4")), ("us-letter", _("US Letter"))),
        default="a4",
    )
    logo = models.CharField(max_length=90, blank=True)
    """The stored file's name; empty: the name alone stands at the head."""
    report_words = models.TextField(_("last words of the report"), blank=True)
    proposal_words = models.TextField(_("how to answer a proposal"), blank=True)
    invoice_words = models.TextField(_("last words of the invoice"), blank=True)
    withdrawal_words = models.TextField(
        _("right of withdrawal"),
        default=WITHDRAWAL,
        blank=True,
    )
    withdrawal = models.BooleanField(_("print the right of withdrawal, usually"), default=False)
    withdrawal_form = models.BooleanField(
        _("with its instructions and form, usually"), default=False
    )
    guarantee_words = models.TextField(
        _("statutory guarantee"),
        default=GUARANTEE,
        blank=True,
    )
    guarantee = models.BooleanField(_("print the statutory guarantee, usually"), default=False)

    hints = models.BooleanField(_("hints at the first visit"), default=True)

    @property
    def untouched(self) -> bool:
        """Whether nobody has said yet whose workshop this is."""
        return self.version == 1 and self.name == UNNAMED

    def __str__(self) -> str:
        return self.name

    def save(self, **options: Any) -> None:
        """Write the row, and forget what was kept of it."""
        super().save(**options)
        cache.delete(WORKSHOP)


WORKSHOP = "workshop"
WORKSHOP_KEPT_S = 5


def the_workshop() -> Workshop:
    """Return the one row, made with its usual figures when there is none yet.

    It is kept for a few seconds, since every page needs it.
    """
    found: Any = cache.get(WORKSHOP)
    if found is None:
        found = Workshop.objects.first()
        if found is None:
            found = Workshop.objects.create()
            found.refresh_from_db()  # its usual figures are then of the right kind
        cache.set(WORKSHOP, found, WORKSHOP_KEPT_S)
    return cast(Workshop, found)
