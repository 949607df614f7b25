"""Number fields that take a decimal comma as well as a point."""

from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.movement.plain import typed
from sideshake.web.base.typed import with_points
from sideshake.web.models import the_workshop
from sideshake.workshop_rules.money import amount_from_text


class NumberField(forms.CharField):
    """A number written with a comma or a point, such as 0,92 or 0.92."""

    def __init__(self, **options: Any) -> None:
        """Show a text field with a number pad where there is one."""
        widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        super().__init__(**{"widget": widget, **options})

    def to_python(self, value: Any) -> Any:
        """Return the number as a decimal, None when nothing was written."""
        text = str(value or "").strip().replace("\N{MINUS SIGN}", "-").replace(",", ".")
        if not text:
            return None
        try:
            number = Decimal(text)
        except InvalidOperation:
            number = Decimal("nan")
        if not number.is_finite():
            raise forms.ValidationError(
                _("%(text)s is no number; write it such as 0,92 or 0.92"), params={"text": value}
            )
        return number

    def prepare_value(self, value: Any) -> Any:
        """Return the value as it is shown: without idle zeros."""
        if isinstance(value, Decimal | float):
            return f"{Decimal(str(value)).normalize():f}"
        return value


class MeasuredField(forms.CharField):
    """A value with its 95 % interval, such as 0.030 ± 0.002, with a comma or a point."""

    def __init__(self, *, name: str = "", **options: Any) -> None:
        """Show a text field; `name` is the line's, whose end tells the unit."""
        self.name = name
        widget = forms.TextInput(attrs={"autocomplete": "off"})
        super().__init__(**{"widget": widget, **options})

    def to_python(self, value: Any) -> Any:
        """Return the value as measured, None when nothing was written."""
        text = with_points(str(value or ""))
        if not text:
            return None
        try:
            return typed(self.name, text)
        except InputError as fault:
            raise forms.ValidationError(fault.sentence) from None


class MoneyField(NumberField):
    """An amount in the workshop's currency, written in the workshop's way."""

    def to_python(self, value: Any) -> Any:
        """Return the amount as a decimal, None when nothing was written."""
        if not str(value or "").strip():
            return None
        shop = the_workshop()
        try:
            return amount_from_text(str(value), shop.currency, shop.locale).value
        except InputError as error:
            raise forms.ValidationError(str(error)) from None

    def prepare_value(self, value: Any) -> Any:
        """Return the amount in the locale's way, without the currency's sign."""
        if isinstance(value, Decimal):
            from babel.numbers import format_decimal, get_currency_precision

            shop = the_workshop()
            places = get_currency_precision(shop.currency)
            pattern = "#0." + "0" * places + "#" * (3 - places) if places else "#0.###"
            return format_decimal(value, format=pattern, locale=shop.locale)
        return value
