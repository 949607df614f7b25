"""Fields for sizes and measured values."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _

from sideshake.core.quantities import COVERAGE_FACTOR
from sideshake.web.base.number_fields import NumberField


class SizeField(NumberField):
    """A measured number above zero, with a comma or a point; kept as a float."""

    def to_python(self, value: Any) -> Any:
        """Return the number as a float, None when nothing was written."""
        number = super().to_python(value)
        if number is not None and number <= 0:
            raise forms.ValidationError(_("It must be above zero."))
        return None if number is None else float(number)


class ValueField(NumberField):
    """A measured value of either sign, kept as a float."""

    def to_python(self, value: Any) -> Any:
        """Return the number as a float, None when nothing was written."""
        number = super().to_python(value)
        return None if number is None else float(number)


class WithinField(ValueField):
    """The half-width of a 95 % interval, as it is printed; kept as the standard uncertainty."""

    def to_python(self, value: Any) -> Any:
        """Return the standard uncertainty as a float, None when nothing was written."""
        within = super().to_python(value)
        return None if within is None else within / COVERAGE_FACTOR

    def prepare_value(self, value: Any) -> Any:
        """Return what is kept as it is printed; what was typed stays."""
        if isinstance(value, float):
            return f"{COVERAGE_FACTOR * value:.6g}"
        return super().prepare_value(value)
