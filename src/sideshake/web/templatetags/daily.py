"""How daily rates and their criteria are written on a page."""

from datetime import datetime

from babel.numbers import format_decimal
from django import template
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.quantities import Measured, decimals
from sideshake.timing.daily_rates.criteria import Criterion, CriterionVerdict
from sideshake.web.daily_rates.course import Course, course
from sideshake.web.models import Programme, the_workshop
from sideshake.web.templatetags.bench import certainty

register = template.Library()


@register.filter
def standing(programme: Programme) -> Course:
    """Return how a programme stands."""
    return course(programme)


@register.filter
def due(standing: Course, moment: datetime | None = None) -> str:
    """Return when its next comparison is due, and how the watch lies until then."""
    return standing.due_words(moment or timezone.now())


@register.filter
def signed(value: Measured | None) -> str:
    """Return a measured value with its sign."""
    return value.text(sign=True) if value else ""


@register.filter
def figure_of(criterion: Criterion) -> str:
    """Return a criterion's figure; where its interval lies unevenly, both ends of it."""
    value = criterion.value
    if value is None or criterion.interval is None:
        return signed(value)
    places = decimals(value.expanded)
    low, high = (f"{end:.{places}f}" for end in criterion.interval)
    return _("%(value)s (%(low)s to %(high)s)") % {
        "value": f"{value.value:.{places}f}", "low": low, "high": high,
    }  # fmt: skip


@register.filter
def ahead(seconds: float | None) -> str:
    """Return how far a watch is ahead of the reference, with its sign."""
    if seconds is None:
        return ""
    return format_decimal(seconds, format="+#,##0.0#;−#,##0.0#", locale=the_workshop().locale)


@register.filter
def verdict(criterion: Criterion) -> str:
    """Return how a criterion stands, in words."""
    if criterion.probability is None:
        days = ", ".join(str(day) for day in criterion.missing)
        return _("cannot be told yet: lacks day %(days)s") % {"days": days}
    if criterion.verdict is CriterionVerdict.NEAR:
        return _("too near to tell; within with %(share)s") % {
            "share": certainty(criterion.probability)
        }
    if criterion.missing:
        return _("not kept, whatever the other days bring")
    return _("kept") if criterion.verdict is CriterionVerdict.KEPT else _("not kept")
