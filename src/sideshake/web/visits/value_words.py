"""Stored values in words: on the page of the history, and in what is given out to an owner."""

import json
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db.models import DecimalField, Model
from django.utils.translation import gettext as _

from sideshake.web.base.saving import plain
from sideshake.web.templatetags.bench import moment


def exact_fields(table: type[Model]) -> frozenset[str]:
    """Return the names of a table's fields that hold decimal numbers."""
    return frozenset(each.name for each in table._meta.fields if isinstance(each, DecimalField))


def in_words(value: object, *, exact: bool = False) -> str:
    """Return a stored value as it is read; a decimal number where it is told to be one, `exact`."""
    if value in (None, "", [], {}):
        return "–"
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if exact or isinstance(value, Decimal):
        return written_out(value)
    if isinstance(value, list | dict):
        return several_in_words(value)
    return moment(value) if isinstance(value, datetime) else str(plain(value))


def several_in_words(values: list[Any] | dict[str, Any]) -> str:
    """Return a stored list or table as it is read: price lines in words, others as JSON."""
    if isinstance(values, list) and all(is_price_line(each) for each in values):
        return "; ".join(map(price_words, values))
    return json.dumps(values, ensure_ascii=False, default=plain)


def written_out(value: object) -> str:
    """Return a stored decimal number without an exponent, which older versions wrote.

    >>> written_out("1.7E+3"), written_out("0.50")
    ('1700', '0.50')
    """
    return f"{Decimal(str(value)):f}"


def is_price_line(value: object) -> bool:
    """Return whether a stored value is a line of a proposal or an invoice."""
    return isinstance(value, dict) and {"text", "quantity", "each"} <= set(value)


def price_words(line: dict[str, str]) -> str:
    """Return a price line as it is read.

    >>> price_words({"text": "oil", "quantity": "1E+1", "each": "2.50", "tax_percent": "2E+1"})
    'oil: 10 × 2.50, 20 %'
    """
    quantity, each = written_out(line["quantity"]), written_out(line["each"])
    return f"{line['text']}: {quantity} × {each}, {written_out(line.get('tax_percent', '0'))} %"
