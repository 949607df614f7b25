"""Forms for price lines."""

from decimal import Decimal
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.number_fields import MoneyField, NumberField
from sideshake.web.models import NO_TAX_CHOICES, the_workshop
from sideshake.web.money.price_lines import DEPOSIT, stored_line
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.totals import NoTax, TaxedLine

BLANK_LINES = 3
KIND_CHOICES = [("work", _("work")), ("part", _("part")), ("outwork", _("outwork"))]


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
        made = TaxedLine(
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


def placed_lines(forms_of_lines: Any) -> list[tuple[int, dict[str, str]]]:
    """Return the lines that were filled in, as they are stored, each with its place."""
    lines = (
        (place, form.line(form.cleaned_data))
        for place, form in enumerate(forms_of_lines)
        if form.cleaned_data
    )
    return [(place, line) for place, line in lines if line is not None]


def stored_lines(forms_of_lines: Any) -> list[dict[str, str]]:
    """Return the lines that were filled in, as they are stored."""
    return [line for _place, line in placed_lines(forms_of_lines)]
