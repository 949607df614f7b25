"""What is said before an invoice is issued: what the law asks for and it lacks. None is refused."""

from collections.abc import Iterator, Mapping
from typing import Any

from django.utils.translation import gettext as _

from sideshake.web.models import Invoice, the_workshop
from sideshake.web.money.price_lines import invoice_totals, is_margin


def warnings(invoice: Invoice) -> Iterator[str]:
    """Yield what somebody should know before an invoice over these lines is issued."""
    taxed = any(each.tax_percent for each in invoice_totals(invoice).by_rate)
    if taxed and not the_workshop().tax_number:
        yield _(
            "Tax is charged and the workshop has no tax number: an invoice with tax must name it. "
            "The owner of the workshop sets it in the settings."
        )
    if any(map(work_in_margin, invoice.lines)):
        yield _(
            "The margin scheme is for goods that are resold, not for work on a customer's own "
            "watch (Directive 2006/112/EC, art. 311 ff.); check your local law."
        )
    if not invoice.visit.watch.owner.address.strip():
        yield _(
            "The customer has no address: a full invoice names it (Directive 2006/112/EC, "
            "art. 226 (5)). Write it at the owner of the watch."
        )


def work_in_margin(row: Mapping[str, Any]) -> bool:
    """Return whether a line is work and stands under a margin scheme."""
    return row.get("kind") == "work" and is_margin(row.get("no_tax", ""))
