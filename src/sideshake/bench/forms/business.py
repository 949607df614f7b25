"""Forms for proposals, invoices and payments."""

from datetime import date
from decimal import Decimal
from typing import Any, cast

from django import forms
from django.http import QueryDict
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from sideshake.bench.forms.numbers import MoneyField, NumberField
from sideshake.bench.forms.record_form import RecordForm, overtaken_words
from sideshake.bench.forms.records import day_widget
from sideshake.bench.forms.seen import SeenField
from sideshake.bench.models import (
    NO_TAX_CHOICES,
    Channel,
    Option,
    Payment,
    Proposal,
    the_workshop,
)
from sideshake.bench.price_lines import DEPOSIT, stored_line
from sideshake.bench.rights import RIGHTS, rights_words, words_of
from sideshake.bench.services.billing import standing_of
from sideshake.bench.services.saving import Overtaken
from sideshake.shop.money import Amount
from sideshake.shop.totals import Line, NoTax

BLANK_LINES = 3
NONE_SEEN = -1
"""How many invoices were seen when the form does not tell: refused like a wrong number."""
KIND_CHOICES = [("work", _("work")), ("part", _("part")), ("outwork", _("outwork"))]


RIGHTS_SAID = {
    "withdrawal": (
        _("print the right of withdrawal"),
        _("for contracts at a distance, 14 days in the EU; check your local law"),
    ),
    "guarantee": (
        _("print the statutory guarantee"),
        _("for consumers; check your local law"),
    ),
}


def offer_rights(fields: dict[str, forms.Field]) -> None:
    """Word a form's boxes for rights; take out those of which the workshop has no words."""
    shop = the_workshop()
    for name, (label, help_text) in RIGHTS_SAID.items():
        if words_of(shop, name):
            fields[name].label, fields[name].help_text = label, help_text
        else:
            del fields[name]


class ProposalForm(RecordForm):
    """What stands round the options."""

    deposit = MoneyField(label=_("deposit"), required=False)

    class Meta:
        model = Proposal
        fields = ("intro", "weeks", "deposit", "expires_on", "withdrawal", "guarantee")
        widgets = {"intro": forms.Textarea(attrs={"rows": 3}), "expires_on": day_widget()}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the customer's rights of which the workshop has words."""
        super().__init__(*args, **kwargs)
        offer_rights(self.fields)


class OptionForm(RecordForm):
    """One option in words."""

    class Meta:
        model = Option
        fields = ("title", "reason", "evidence", "photograph", "risk", "if_left", "need",
                  "instead_of")  # fmt: skip
        widgets = {
            name: forms.Textarea(attrs={"rows": 3})
            for name in ("reason", "evidence", "risk", "if_left")
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the photographs of the same visit only."""
        super().__init__(*args, **kwargs)
        photographs: Any = self.fields["photograph"]
        photographs.queryset = self.instance.proposal.visit.photographs.all()
        others = self.instance.proposal.options.exclude(pk=self.instance.pk)
        places = [(each.key, each.title) for each in others if each.key and not each.instead_of]
        self.fields["instead_of"] = forms.ChoiceField(
            label=_("takes the place of"),
            required=False,
            choices=[("", _("no other: it stands by itself")), *places],
            initial=self.instance.instead_of,
            help_text=_("of two such options the owner can choose only one"),
        )

    def clean_instead_of(self) -> str:
        """Refuse to take a place while another option takes this one's."""
        place: str = self.cleaned_data["instead_of"]
        own = self.instance.key
        if place and own and self.instance.proposal.options.filter(instead_of=own).exists():
            raise forms.ValidationError(_("Another option takes this one's place already."))
        return place


class LineForm(forms.Form):
    """One price line; a line without text is left out."""

    text = forms.CharField(label=_("what"), max_length=200, required=False)
    kind = forms.ChoiceField(label=_("kind"), choices=KIND_CHOICES, required=False)
    quantity = NumberField(label=_("quantity"), required=False)
    each = MoneyField(label=_("price each"), required=False)
    tax_percent = NumberField(label=_("tax, percent"), required=False)
    no_tax = forms.ChoiceField(
        label=_("why no tax"), choices=[("", _("as usual")), *NO_TAX_CHOICES],
        required=False,
    )  # fmt: skip

    def clean(self) -> dict[str, Any]:
        """Refuse a line that has a price but no text, or cannot be reckoned."""
        cleaned: dict[str, Any] = super().clean() or {}
        text = (cleaned.get("text") or "").strip()
        if not text and cleaned.get("each"):
            self.add_error("text", _("Say what the price is for."))
        elif text and not self.errors:
            try:
                self.line(cleaned)
            except ValueError as error:
                self.add_error("each", str(error))
        return cleaned

    def line(self, cleaned: dict[str, Any]) -> dict[str, str] | None:
        """Return the line as it is stored; None for a blank one."""
        text = (cleaned.get("text") or "").strip()
        if not text:
            return None
        shop = the_workshop()
        tax = cleaned.get("tax_percent")
        quantity, each = cleaned.get("quantity"), cleaned.get("each")
        made = Line(
            text=text,
            quantity=Decimal(1) if quantity is None else quantity,
            each=Amount(Decimal(0) if each is None else each, shop.currency),
            tax_percent=self.percent(tax, shop.tax_percent.normalize()),
            no_tax=NoTax(cleaned["no_tax"]) if cleaned.get("no_tax") else None,
        )
        return stored_line(cleaned.get("kind") or "work", made)

    def percent(self, typed: Decimal | None, usual: Decimal) -> Decimal:
        """Return the rate: as typed; else none where a reason is chosen, and the usual one."""
        if typed is not None:
            return typed
        return Decimal(0) if self.cleaned_data.get("no_tax") else usual


class InvoiceLineForm(LineForm):
    """A price line of an invoice, which can take a deposit off."""

    kind = forms.ChoiceField(
        label=_("kind"), choices=[*KIND_CHOICES, (DEPOSIT, _("deposit"))], required=False
    )

    def clean(self) -> dict[str, Any]:
        """Refuse a deposit taken off that would be added."""
        cleaned = super().clean()
        if cleaned.get("kind") == DEPOSIT and (cleaned.get("each") or 0) >= 0:
            self.add_error("each", _("A deposit taken off has a price below zero."))
        return cleaned


LineForms = forms.formset_factory(LineForm, extra=BLANK_LINES)
InvoiceLineForms = forms.formset_factory(InvoiceLineForm, extra=BLANK_LINES)
TOTAL = "lines-TOTAL_FORMS"
MOST_LINES = 200


def line_forms(data: Any, rows: list[dict[str, Any]], *, forms_of: Any = LineForms) -> Any:
    """Return the price lines as forms, with blank ones at the end."""
    first = [
        {**row, "quantity": Decimal(row["quantity"]), "each": Decimal(row["each"]),
         "tax_percent": Decimal(row["tax_percent"])}
        for row in rows
    ]  # fmt: skip
    return forms_of(data, initial=first, prefix="lines")


def with_more_lines(typed: QueryDict) -> QueryDict:
    """Return what was typed, with room for more price lines."""
    again = typed.copy()
    count = typed.get(TOTAL, "")
    again[TOTAL] = str(min(int(count) if count.isdecimal() else 0, MOST_LINES) + BLANK_LINES)
    return again


def stored_lines(forms_of_lines: Any) -> list[dict[str, str]]:
    """Return the lines that were filled in, as they are stored."""
    lines = (form.line(form.cleaned_data) for form in forms_of_lines if form.cleaned_data)
    return [line for line in lines if line is not None]


class AnswerForm(forms.Form):
    """The owner's answer."""

    seen = SeenField()
    answered_on = forms.DateField(label=_("answered on"), widget=day_widget())
    channel = forms.ChoiceField(label=_("answered by"), choices=Channel.choices)
    answer = forms.CharField(
        label=_("the owner's words"),
        required=False,
        widget=forms.Textarea({"rows": 3}),
        help_text=_("when the owner declines: why"),
    )

    def show_overtaken(self, overtaken: Overtaken, *, now: int) -> None:
        """Say who was quicker; sending once more answers what is stored `now`, knowingly."""
        self.add_error(None, overtaken_words(overtaken))
        again = cast(QueryDict, self.data).copy()
        again["seen"] = str(now)
        self.data = again


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
        reason = self.cleaned_data.get("no_tax")
        return [
            {**row, "no_tax": reason}
            if reason and not Decimal(row["tax_percent"]) and not row.get("no_tax")
            else row
            for row in rows
        ]

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
