"""Before and after: two readings or rounds of a watch side by side."""

from collections.abc import Sequence
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sideshake.core.errors import NotEnough
from sideshake.web.comparison.services import (
    ComparisonChoice,
    SideBySide,
    choices_of,
    chosen_pair,
    picture_of,
)
from sideshake.web.comparison.turning import rings_of, two_turns
from sideshake.web.models import Watch


def compare(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what has changed from one reading or round to another, and let others be chosen."""
    watch = get_object_or_404(Watch.objects.select_related("owner"), pk=pk)
    found = choices_of(watch)
    pair, reason = None, ""
    try:
        pair = asked_pair(request, found)
    except NotEnough as why:
        reason = str(why)
    asked = [request.GET.get("before", ""), request.GET.get("after", "")]
    keys = [pair.before.key, pair.after.key] if pair else asked
    shown = {
        "watch": watch,
        "pair": pair,
        "reason": reason,
        "choices": [(each.key, words(each)) for each in found],
        "before": keys[0],
        "after": keys[1],
        "picture": urlencode({"before": keys[0], "after": keys[1]}),
        "rings": pair is not None and two_turns(pair) is not None,
    }
    return render(request, "comparison/page.html", shown)


def compared_picture(request: HttpRequest, pk: int) -> HttpResponse:
    """Draw before and after."""
    pair = asked_pair(request, choices_of(get_object_or_404(Watch, pk=pk)))
    if pair is None:
        raise NotEnough(_("no two readings of this watch were heard alike, before and after"))
    return HttpResponse(picture_of(pair.compared.differences), content_type="image/svg+xml")


def compared_rings(request: HttpRequest, pk: int) -> HttpResponse:
    """Draw one turn of the escape wheel before and after."""
    pair = asked_pair(request, choices_of(get_object_or_404(Watch, pk=pk)))
    two = two_turns(pair) if pair is not None else None
    if two is None:
        raise NotEnough(_("no two readings of this watch have a turn of the escape wheel to draw"))
    return HttpResponse(rings_of(two), content_type="image/svg+xml")


def asked_pair(request: HttpRequest, found: Sequence[ComparisonChoice]) -> SideBySide | None:
    """Return the pair that is asked for; the usual one when nothing is."""
    return chosen_pair(found, request.GET.get("before", ""), request.GET.get("after", ""))


def words(choice: ComparisonChoice) -> str:
    """Return a choice as it stands in the list."""
    last = choice.last
    how = [str(last.get_position_display())]
    if choice.whole_round:
        count = len({reading.position for reading in choice.readings})
        how = [ngettext("round, %d position", "round, %d positions", count) % count]
    how += [str(last.get_wound_display())] if last.wound else []
    how += [_("chronograph running")] if last.chronograph_on and not choice.whole_round else []
    when = _("after the work") if last.after else _("as it came")
    return f"{last.visit.number}, {when}: {', '.join(how)}"
