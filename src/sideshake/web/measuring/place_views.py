"""The measuring desk: every bearing of a visit's watch at a glance, and the fields of one."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db.models import prefetch_related_objects
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.analysis.bearings import BearingTold, tell_bearing
from sideshake.core.errors import InputError
from sideshake.wear.instruments import InstrumentKnown
from sideshake.wear.place_judged import PlaceJudged, PlaceStage
from sideshake.wear.place_seen import BearingSeen
from sideshake.wear.place_words import lean_sentence
from sideshake.wear.watch_places import WatchPlace
from sideshake.web.base.access import signed_in, visit_by_number
from sideshake.web.base.saving import EditConflict
from sideshake.web.base.version_field import version_in, versions_in
from sideshake.web.measuring.place_fields import (
    FilledIn,
    GroupShown,
    groups_shown,
    instruments_in,
    slips_in,
    typed_in,
)
from sideshake.web.measuring.place_pictures import key_marks, lengths_pictures, mark_svg
from sideshake.web.measuring.places import (
    PlacesSeen,
    instruments_known,
    note_worn,
    noted_already,
    offered,
    places_seen,
    store_place,
    work_for,
)
from sideshake.web.measuring.taken import Taken
from sideshake.web.models import Finding, User, Visit, the_workshop
from sideshake.workshop_rules.jobs import RepairJob
from sideshake.workshop_rules.money import Amount
from sideshake.workshop_rules.options import price

DESK, PLACE = "desk", "place"
DESK_AFTER, PLACE_AFTER = "desk-after", "place-after"
"""The names of the pages, for the sizes before the work and after it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingRow:
    """A bearing in the list and in the picture: as it is seen, its mark, and what it costs."""

    seen: BearingSeen
    mark: SafeString
    job: RepairJob | None
    cost: Amount | None
    """For those who may see prices."""
    noted: Finding | None
    """The finding that tells of it already."""
    offered: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ArborTile:
    """An arbor in the picture of the movement: its bearing above, its bearing below."""

    words: str
    above: BearingRow
    below: BearingRow | None


def desk(request: HttpRequest, number: str, *, after: bool = False) -> HttpResponse:
    """Show every bearing of a visit's watch: as a picture, and as a list."""
    visit = visit_with_sizes(number)
    seen = places_seen(visit, after=after)
    rows = list(bearing_rows(visit, seen, signed_in(request), after=after))
    movement = seen.movement
    shown = {
        "visit": visit,
        "after": after,
        "place_page": PLACE_AFTER if after else PLACE,
        "seen": seen,
        "rows": [each for each in rows if each.seen.stage is not PlaceStage.OPEN],
        "others": [each for each in rows if each.seen.stage is PlaceStage.OPEN],
        "tiles": list(tiles(rows)),
        "marks": key_marks(),
        "leans": [lean_sentence(each) for each in movement.leans] if movement else [],
        "prices": signed_in(request).may_price,
    }
    return render(request, "measuring/desk.html", shown)


def visit_with_sizes(number: str) -> Visit:
    """Return a visit with its sizes, findings and photographs, or 404."""
    visit = visit_by_number(number)
    prefetch_related_objects([visit], "measurements", "findings", "photographs")
    return visit


def bearing_rows(
    visit: Visit, seen: PlacesSeen, user: User, *, after: bool
) -> Iterator[BearingRow]:
    """Yield every bearing as the list shows it."""
    shop = the_workshop()
    hour = Amount(shop.hourly_rate, shop.currency)
    found = list(visit.findings.all())
    for each in seen.seen:
        judged = seen.at(each.place.name)
        job, offer = work_for(each, judged), None if after else offered(judged)
        yield BearingRow(
            seen=each,
            mark=mark_svg(each),
            job=job,
            cost=price(job.time, hour=hour).middle if job and user.may_price else None,
            noted=noted_already(found, offer) if offer else None,
            offered=offer is not None,
        )


def tiles(rows: list[BearingRow]) -> Iterator[ArborTile]:
    """Yield the arbors of the movement, each with its bearings above and below."""
    waiting: dict[str, BearingRow] = {}
    for row in rows:
        place = row.seen.place
        arbor = "barrel on its arbor" if place.table in ("lid", "floor") else place.arbor
        if arbor in waiting:
            above = waiting.pop(arbor)
            yield ArborTile(words=tile_words(above.seen.place), above=above, below=row)
        elif place.side or place.table == "lid":
            waiting[arbor] = row
        else:
            yield ArborTile(words=tile_words(place), above=row, below=None)


def tile_words(place: WatchPlace) -> str:
    """Return what an arbor is called in the picture."""
    return (
        _("barrel on its arbor")
        if place.table == "lid"
        else place.words.rpartition(", ")[0] or (place.words)
    )


def place(request: HttpRequest, number: str, place: str, *, after: bool = False) -> HttpResponse:
    """Take what was measured at one bearing; ask first about what looks wrong by a power of ten."""
    visit = visit_with_sizes(number)
    seen = places_seen(visit, after=after)
    here = next((each for each in seen.seen if each.place.name == place), None)
    if here is None:
        raise Http404(_("This movement has no such bearing."))
    said: dict[str, Any] = {"seen": seen, "after": after}
    if request.method != "POST":
        return place_page(request, visit, here, said)
    typed = typed_in(here.place, request.POST.dict())
    asked = [] if request.POST.get("mend") else slips_in(here.place, typed)
    if asked:
        return place_page(request, visit, here, {**said, "asked": asked}, status=422)
    wrong, status = stored_or_why(request, visit, here.place, typed, after=after)
    if wrong:
        return place_page(request, visit, here, {**said, "wrong": wrong}, status=status)
    page = reverse(PLACE_AFTER if after else PLACE, args=[number, place])
    return redirect(f"{page}#verdict")


def stored_or_why(
    request: HttpRequest, visit: Visit, place: WatchPlace, typed: dict[str, str], *, after: bool
) -> tuple[str, int]:
    """Store what was measured; return the sentence why it could not be, and the status."""
    taken = Taken(after=after, instruments=instruments_in(place, request.POST.dict()))
    told, by = versions_in(request.POST, typed), signed_in(request)
    try:
        store_place(visit, typed, taken, by, seen=told)
    except InputError as error:
        return str(error), 422
    except EditConflict as error:
        return _("%(who)s. Compare with what is stored now.") % {"who": error}, 409
    return "", 200


def place_page(
    request: HttpRequest,
    visit: Visit,
    here: BearingSeen,
    said: Mapping[str, Any],
    status: int = 200,
) -> HttpResponse:
    """Show the fields of a bearing beside its drawing, and what its sizes say."""
    seen, after = said["seen"], said["after"]
    stored = {row.key: row for row in visit.measurements.all() if row.after is after}
    sent = request.POST.dict() if request.method == "POST" else {}
    judged = seen.at(here.place.name)
    normal = judged.normal if judged else None
    filled = FilledIn(place=here.place, rows=stored, sent=sent, normal=normal)
    groups = list(groups_shown(filled))
    names = [each.place.name for each in seen.seen]
    at = names.index(here.place.name)
    offer = None if after else offered(judged)
    shown = {
        **said,
        "visit": visit,
        "desk_page": DESK_AFTER if after else DESK,
        "place_page": PLACE_AFTER if after else PLACE,
        "here": here,
        "mark": mark_svg(here),
        "groups": groups,
        "sent": bool(sent),
        "open": next((each.group.name for each in groups if not each.is_told), ""),
        "pictures": lengths_pictures(length_words(groups), here.place.words),
        "told": told_of(judged, seen),
        "learnt": learnt(instruments_known(), groups),
        "before": names[at - 1] if at else "",
        "next": names[at + 1] if at + 1 < len(names) else "",
        "offer": offer,
        "noted": noted_already(visit.findings.all(), offer) if offer else None,
        "photographs": list(visit.photographs.all()),
        "barrel": seen.barrel if here.place.is_barrel else None,
    }
    return render(request, "measuring/place.html", shown, status=status)


def length_words(groups: list[GroupShown]) -> dict[str, str]:
    """Return what each length is called in the drawing, by its size."""
    drawn = {
        "hole_mm": _("hole"),
        "hole_long_mm": _("long way"),
        "hole_short_mm": _("short way"),
        "pivot_mm": _("pivot"),
        "play_mm": _("side play"),
        "endshake_mm": _("endshake"),
        "span_mm": _("to its other bearing"),
        "thickness_mm": _("thickness"),
        "room_mm": _("room"),
    }
    here = {each.kind.size for group in groups for each in group.fields}
    return {size: words for size, words in drawn.items() if size in here}


def told_of(judged: PlaceJudged | None, seen: PlacesSeen) -> BearingTold | None:
    """Return what is said of a bearing beside its verdict; None of the barrel's."""
    if judged is None or seen.movement is None:
        return None
    return tell_bearing(judged, seen.movement)


def learnt(known: Mapping[str, InstrumentKnown], groups: list[GroupShown]) -> list[str]:
    """Return how well each instrument on the page reads, where repeats have told it."""
    offered_here = dict.fromkeys(each.name for group in groups for each in group.instruments)
    told = (known[name] for name in offered_here if known[name].is_learnt)
    return [
        _("%(instrument)s: one reading is good to ± %(u).4f mm, learnt from %(n)d repeats")
        % {
            "instrument": each.instrument.name,
            "u": 2 * each.one_u_mm,
            "n": each.scatter.freedom if each.scatter else 0,
        }
        for each in told
    ]


@require_POST
def note_place(request: HttpRequest, number: str, place: str) -> HttpResponse:
    """Note a worn bearing as a finding, with its figures."""
    visit = visit_with_sizes(number)
    offer = offered(places_seen(visit).at(place))
    if offer is None:
        raise InputError(_("this bearing is not judged worn, so there is nothing to note"))
    version = version_in(request.POST.get("seen", ""))
    finding = note_worn(visit, offer, signed_in(request), seen=version)
    messages.success(request, _("Noted as a finding: %(what)s") % {"what": finding.title})
    return redirect("desk", number)
