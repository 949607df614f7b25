"""How dates, money and measured values are written on a page."""

from datetime import date, datetime
from decimal import Decimal

from babel.dates import format_date, format_datetime
from babel.numbers import format_decimal
from django import template
from django.conf import settings
from django.contrib.messages.storage.base import Message
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sideshake.core.quantities import Measured
from sideshake.web.base.putting_aside import TAKEN_BACK
from sideshake.web.models import Outwork, Photograph, Proposal, Visit, the_workshop
from sideshake.web.money.price_lines import lines_of
from sideshake.web.overview.overdue import answer_over, outwork_over, promise_over
from sideshake.workshop_rules.acceptance import AcceptanceOutcome, Judgement
from sideshake.workshop_rules.money import value_text
from sideshake.workshop_rules.totals import TaxedLine

register = template.Library()
LARGEST = 0.99


@register.filter
def day(value: date | None) -> str:
    """Return a date as the workshop's locale writes it."""
    return format_date(value, format="medium", locale=the_workshop().locale) if value else ""


@register.filter
def moment(value: datetime | None) -> str:
    """Return date and time of day as the workshop's locale writes them."""
    if value is None:
        return ""
    return format_datetime(timezone.localtime(value), format="medium", locale=the_workshop().locale)


@register.filter
def amount(value: Decimal | None, currency: str = "") -> str:
    """Return an amount of money as the workshop's locale writes it."""
    if value is None:
        return ""
    shop = the_workshop()
    return value_text(value, currency or shop.currency, shop.locale)


@register.filter
def figure(value: float | Decimal | None, decimals: int = 3) -> str:
    """Return a number with the locale's decimal sign, at most so many decimals."""
    if value is None:
        return ""
    pattern = "#,##0." + "#" * decimals if decimals else "#,##0"
    return format_decimal(value, format=pattern, locale=the_workshop().locale)


@register.filter
def overdue(days: int) -> str:
    """Return for how many days something is overdue, in words; empty for none."""
    if not days:
        return ""
    return ngettext("one day overdue", "%(n)d days overdue", days) % {"n": days}


@register.filter
def late(record: Visit | Outwork, today: date) -> str:
    """Return in words for how long a promise or outwork is overdue; empty when it is not."""
    if isinstance(record, Visit):
        return overdue(promise_over(record, today))
    return overdue(outwork_over(record, today))


@register.filter
def unanswered(proposal: Proposal, today: date) -> str:
    """Return in words how long ago a proposal was sent that should be answered by now."""
    return no_answer(answer_over(proposal, today))


@register.filter
def no_answer(days: int) -> str:
    """Return in words that a proposal has no answer since so many days; empty for none."""
    told = ngettext("sent a day ago, no answer", "sent %(n)d days ago, no answer", days)
    return told % {"n": days} if days else ""


@register.filter
def aside(message: Message) -> str:
    """Return the key of what a message says was removed; empty when it says something else."""
    tags = str(message.extra_tags or "")
    return tags.removeprefix(TAKEN_BACK) if tags.startswith(TAKEN_BACK) else ""


@register.filter
def percent(share: float) -> str:
    """Return a share as a length in a drawing, such as 12.5%."""
    return f"{100 * share:.2f}%"


@register.filter
def part(length: float, of: int) -> str:
    """Return a part of a length in a drawing."""
    return f"{length / of:.1f}"


@register.filter
def hundredth(share: float) -> str:
    """Return a share in whole hundredths, such as 13 of 0.125."""
    return f"{100 * share:.0f}"


@register.filter
def minutes(value: int | None) -> str:
    """Return minutes as hours and minutes, such as 2 h 05 min; nothing for no minutes."""
    if value is None:
        return ""
    hours, rest = divmod(value, 60)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"


@register.filter
def kept(judgement: Judgement) -> str:
    """Return how surely a value keeps its limit, in words."""
    if judgement.keeps is None:
        return ""
    share = certainty(judgement.keeps)
    words = {
        AcceptanceOutcome.PASSES: _("keeps its limit with %(share)s"),
        AcceptanceOutcome.FAILS: _("misses its limit; keeps it with %(share)s"),
        AcceptanceOutcome.NEAR: _("near its limit; keeps it with %(share)s"),
    }
    return words[judgement.outcome] % {"share": share}


@register.filter
def certainty(probability: float) -> str:
    """Return a probability in whole hundredths; never 0 or 100, for neither is known."""
    if probability > LARGEST:
        return _("more than %(share)d %%") % {"share": round(100 * LARGEST)}
    if probability < 1 - LARGEST:
        return _("less than %(share)d %%") % {"share": round(100 * (1 - LARGEST))}
    return f"{100 * probability:.0f} %"


@register.filter
def reckoned(rows: list[dict[str, str]], currency: str) -> tuple[TaxedLine, ...]:
    """Return stored price lines with their totals."""
    return lines_of(rows, currency)


@register.filter
def counted(line: TaxedLine) -> Decimal:
    """Return a line's quantity as an invoice states it: below zero where something is taken off."""
    return -Decimal(line.quantity) if line.each.value < 0 else Decimal(line.quantity)


@register.filter
def priced(line: TaxedLine) -> Decimal:
    """Return a line's unit price as an invoice states it: never below zero."""
    return abs(line.each.value)


@register.simple_tag
def files_at_once() -> int:
    """Return how many files one form may send."""
    return settings.DATA_UPLOAD_MAX_NUMBER_FILES


@register.simple_tag
def shot(photograph: Photograph, size: str) -> str:
    """Return the address of a photograph's file; no other picture ever has the same."""
    return f"{reverse('photograph-file', args=[photograph.pk, size])}?{photograph.fingerprint}"


@register.filter
def signed(value: Measured) -> str:
    """Return a measured value with its sign and its 95 % interval."""
    return value.text(sign=True)
