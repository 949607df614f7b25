"""Forms for invoices and payments."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.day_field import day_widget
from sideshake.web.base.number_fields import MoneyField
from sideshake.web.base.record_form import RecordForm
from sideshake.web.base.version_field import SeenField
from sideshake.web.models import NO_TAX_CHOICES, Payment, the_workshop
from sideshake.web.money.price_lines import with_usual
from sideshake.web.money.services import standing_of
from sideshake.web.proposals.rights import RIGHTS, rights_words
from sideshake.web.proposals.rights_fields import offer_rights

NONE_SEEN = -1
"""How many invoices were seen when the form does not tell: refused like a wrong number."""


class IssueForm(forms.Form):
    """When an invoice is issued, and a note on it."""

    seen = SeenField(untold=NONE_SEEN)
    kind = forms.ChoiceField(
        widget=forms.HiddenInput, choices=[("work", ""), ("deposit", "")], required=False
    )
    issued_on = forms.DateField(label=_("issued on"), widget=day_widget())
    supplied_on = forms.DateField(
        label=_("work supplied on"), widget=day_widget(), required=False,
        help_text=_("when the work was done or the goods went out"),
    )  # fmt: skip
    no_tax = forms.ChoiceField(
        label=_("reason for lines with 0 %"),
        choices=[("", _("none: every line is taxed")), *NO_TAX_CHOICES],
        required=False,
        help_text=_("a line can name its own; the settings hold the usual one"),
    )
    note = forms.CharField(
        label=_("note on the invoice"), required=False, widget=forms.Textarea({"rows": 2})
    )

    withdrawal = forms.BooleanField(required=False)
    guarantee = forms.BooleanField(required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Ask for the day of supply of finished work only, and for words that there are."""
        super().__init__(*args, **kwargs)
        self.label_suffix = ""
        if self["kind"].value() == "deposit":
            del self.fields["supplied_on"]
        offer_rights(self.fields)

    def reasoned(self, rows: list[dict[str, str]]) -> list[dict[str, str]]:
        """Return the lines, those with 0 % and no reason of their own with the form's."""
        return with_usual(rows, self.cleaned_data.get("no_tax") or "")

    def rights(self) -> str:
        """Return the customer's rights that are to be printed."""
        asked = {name: bool(self.cleaned_data.get(name)) for name in RIGHTS}
        return rights_words(the_workshop(), **asked)

    def clean_issued_on(self) -> date:
        """Refuse a day to come: no invoice before it could be issued any more."""
        day: date = self.cleaned_data["issued_on"]
        if day > timezone.localdate():
            raise forms.ValidationError(_("An invoice is not issued on a day to come."))
        return day


class PaymentForm(RecordForm):
    """Money that came in, or went back as an amount below zero."""

    amount = MoneyField(label=_("amount"), help_text=_("below zero for money given back"))

    class Meta:
        model = Payment
        fields = ("amount", "on", "how", "invoice", "deposit", "note")
        widgets = {"on": day_widget()}
        help_texts = {"invoice": _("empty: for the next one that is issued")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the visit's invoices that were not taken back."""
        super().__init__(*args, **kwargs)
        invoices: Any = self.fields["invoice"]
        visit = self.instance.visit
        standing = [each.pk for each in standing_of(visit)]
        invoices.queryset = visit.invoices.filter(pk__in=standing)

    def clean_amount(self) -> Decimal:
        """Refuse a payment of 0."""
        amount: Decimal = self.cleaned_data["amount"]
        if not amount:
            raise forms.ValidationError(
                _("The amount is 0: write what was paid, below zero if it was given back.")
            )
        return amount
