"""Forms for the workshop itself."""

from typing import Any

from babel import Locale, UnknownLocaleError
from babel.numbers import list_currencies
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.web.base.number_fields import MoneyField, NumberField
from sideshake.web.base.record_form import RecordForm
from sideshake.web.documents.parties import countries
from sideshake.web.models import Workshop
from sideshake.workshop_rules.bank import compact, in_groups, is_bic, is_iban

MOST_YEARS = 100


HOURS_OF_A_WEEK = 999
"""Of six people who do nothing else."""


class WorkshopChecks(RecordForm):
    """What is checked of the workshop's own row, wherever it is asked for."""

    tax_percent = NumberField(label=gettext_lazy("tax, percent"))
    hourly_rate = MoneyField(label=gettext_lazy("rate for an hour of work"))
    hours_a_week = NumberField(
        label=gettext_lazy("hours of work in a week"),
        help_text=gettext_lazy("at the bench, of all who work here"),
    )

    class Meta:
        model = Workshop
        fields: tuple[str, ...] = ()

    def clean_locale(self) -> str:
        """Return a locale that babel knows, written its way."""
        typed = str(self.cleaned_data["locale"]).strip().replace("-", "_")
        try:
            return str(Locale.parse(typed))
        except (UnknownLocaleError, ValueError, TypeError):
            raise forms.ValidationError(
                _("No locale is called %(typed)s; write it such as en_GB, de_CH, fr_FR.")
                % {"typed": typed}
            ) from None

    def clean_country(self) -> str:
        """Return a country's two letters."""
        typed = str(self.cleaned_data["country"]).strip().upper()
        if typed and typed not in countries("en").values():
            raise forms.ValidationError(
                _("%(typed)s is no country's two letters; write such as AT, CH, FR.")
                % {"typed": typed}
            )
        return typed

    def clean_currency(self) -> str:
        """Return a currency code that there is."""
        typed = str(self.cleaned_data["currency"]).strip().upper()
        if typed not in list_currencies():
            raise forms.ValidationError(
                _("%(typed)s is no currency code; write three letters such as EUR, CHF, GBP.")
                % {"typed": typed}
            )
        return typed

    def clean_tax_percent(self) -> Any:
        """Return a tax from 0 to 100 percent."""
        return percent(self.cleaned_data["tax_percent"])

    def clean_hourly_rate(self) -> Any:
        """Return a rate that is not below zero."""
        if self.cleaned_data["hourly_rate"] < 0:
            raise forms.ValidationError(_("The rate cannot be below zero."))
        return self.cleaned_data["hourly_rate"]

    def clean_hours_a_week(self) -> Any:
        """Return hours that a week has."""
        if not 0 < self.cleaned_data["hours_a_week"] <= HOURS_OF_A_WEEK:
            raise forms.ValidationError(_("It must be more than 0 and at most 999."))
        return self.cleaned_data["hours_a_week"]


class WorkshopForm(WorkshopChecks):
    """The workshop's own name, wording and rules."""

    prices_to = MoneyField(
        label=gettext_lazy("round prices to"),
        required=False,
        help_text=gettext_lazy("suggested prices, to whole 1 or 5 for example; 0 leaves them"),
    )
    deposit_percent = NumberField(label=gettext_lazy("usual deposit, percent"))

    class Meta:
        model = Workshop
        fields = (
            "name", "address", "country", "phone", "email", "website", "tax_number", "tax_label",
            "bank", "iban", "bic",
            "locale", "currency", "tax_percent", "prices_hold_tax", "no_tax", "tax_wording",
            "hourly_rate", "hours_a_week", "prices_to",
            "deposit_percent", "proposal_days", "payment_days", "warranty_months",
            "service_months", "keep_years", "warranty_wording", "paper", "report_words",
            "proposal_words", "invoice_words", "withdrawal_words", "withdrawal",
            "withdrawal_form", "guarantee_words", "guarantee", "hints",
        )  # fmt: skip
        help_texts = {
            "paper": gettext_lazy("of reports, proposals, invoices, orders, sheets and labels"),
            "report_words": gettext_lazy("printed at the end of the owner's report"),
            "proposal_words": gettext_lazy(
                "printed in the place of our own words, which name email and telephone"
            ),
            "invoice_words": gettext_lazy("printed under the sums"),
            "country": gettext_lazy("two letters such as AT; empty: as the locale says"),
            "tax_number": gettext_lazy(
                "the VAT number with its country's letters where you have one"
            ),
            "tax_label": gettext_lazy(
                "as it is printed before the number; empty: VAT no. where it begins with the "
                "country's letters, else Tax no."
            ),
            "bank": gettext_lazy("the bank's name, or an account without an IBAN"),
            "iban": gettext_lazy("printed in groups of four, and in the data of an invoice"),
            "bic": gettext_lazy("where payments from abroad need it"),
            "no_tax": gettext_lazy("for lines with 0 % that name no reason of their own"),
            "withdrawal_words": gettext_lazy(
                "for proposals and invoices of contracts at a distance, when ticked there; check "
                "your local law"
            ),
            "withdrawal_form": gettext_lazy(
                "on proposals to consumers on which the right of withdrawal is printed; in the "
                "place of the words above; after Directive 2011/83/EU, Annex I; check your local "
                "law"
            ),
            "guarantee_words": gettext_lazy(
                "for consumers' proposals and invoices, when ticked there; check your local law"
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Show the IBAN as it is read."""
        super().__init__(*args, **kwargs)
        self.initial["iban"] = in_groups(self.instance.iban)

    def clean_iban(self) -> str:
        """Return an IBAN without spaces whose check digits are right; empty for none."""
        typed = compact(self.cleaned_data["iban"])
        if typed and not is_iban(typed):
            raise forms.ValidationError(
                _("This is no IBAN: its check digits do not fit. Compare it with the bank's paper.")
            )
        return typed

    def clean_bic(self) -> str:
        """Return a BIC without spaces; empty for none."""
        typed = compact(self.cleaned_data["bic"])
        if typed and not is_bic(typed):
            raise forms.ValidationError(_("A BIC has 8 or 11 letters and digits."))
        return typed

    def clean_deposit_percent(self) -> Any:
        """Return a deposit from 0 to 100 percent."""
        return percent(self.cleaned_data["deposit_percent"])

    def clean_prices_to(self) -> Any:
        """Refuse a step below zero; nothing written leaves prices as they are."""
        step = self.cleaned_data["prices_to"]
        if step is not None and step < 0:
            raise forms.ValidationError(_("It is 0 or more."))
        return step or 0

    def clean_keep_years(self) -> int:
        """Return from 0 to 100 years."""
        years = int(self.cleaned_data["keep_years"])
        if years > MOST_YEARS:
            raise forms.ValidationError(_("It must lie from 0 to 100."))
        return years


def percent(value: Any) -> Any:
    """Return a percentage from 0 to 100."""
    if not 0 <= value <= 100:
        raise forms.ValidationError(_("It must lie from 0 to 100."))
    return value
