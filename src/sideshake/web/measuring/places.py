"""The bearings of a visit's watch: judged, stored, learnt from, and offered as findings."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.core.repeats import pooled
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.instruments import BY_NAME, InstrumentKnown
from sideshake.wear.place_judged import (
    MovementJudged,
    PlaceJudged,
    PlaceStage,
    movement_judged,
)
from sideshake.wear.place_seen import BearingSeen, barrel_bearing_seen, bearing_seen
from sideshake.wear.place_typed import HOLES
from sideshake.wear.place_words import worn_title
from sideshake.wear.watch_places import OF_BEARING, WatchPlace, watch_places
from sideshake.web.base.holding import hold_visits
from sideshake.web.base.saving import save
from sideshake.web.base.typed import with_points
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.evidence.look_over import finding_not_stored
from sideshake.web.measuring.photo_findings import OfferedFinding, standing, with_line
from sideshake.web.measuring.place_rows import PLUS_MINUS, of_barrel, place_lines
from sideshake.web.measuring.services import Judged, Sizes, judged, store
from sideshake.web.measuring.taken import Taken
from sideshake.web.models import Finding, Measurement, User, Visit
from sideshake.workshop_rules.findings import BY_KEY
from sideshake.workshop_rules.jobs import RepairJob
from sideshake.workshop_rules.place_work import (
    BARREL_FINDING,
    evidence_of,
    finding_for,
    job_for,
)

MOST_LEARNT = 400
"""So many sizes, read last, tell how an instrument scatters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesSeen:
    """Every bearing of a visit's watch at a glance, and what the judgement rests on.

    Parameters
    ----------
    movement : the bearings beside the barrel's; None where their sizes cannot be read
    barrel : what the barrel's sizes say
    lacking : why there is no judgement beside the barrel's
    """

    seen: tuple[BearingSeen, ...]
    movement: MovementJudged | None
    barrel: Judged
    lacking: str = ""

    def at(self, name: str) -> PlaceJudged | None:
        """Return the judgement of a place beside the barrel; None of the barrel's."""
        if self.movement is None:
            return None
        return next((each for each in self.movement.places if each.place.name == name), None)

    @property
    def measured(self) -> int:
        """Return at how many places something is measured."""
        return sum(each.stage is not PlaceStage.OPEN for each in self.seen)


def places_seen(visit: Visit, *, after: bool = False) -> PlacesSeen:
    """Return every bearing of a visit's watch at a glance; from rows already fetched.

    After the work the barrel has no verdict, and its bearings are left out.
    """
    sheet = sheet_named(visit.watch.calibre)
    rows = now_known(visit.measurements.all(), after=after)
    barrel = Judged() if after else judged(visit)
    key = tuple(sorted((row.key, row.value, row.u, row.word) for row in rows))
    movement, lacking = judged_places(sheet, key)
    bench = barrel.lying.bench.case.barrel if barrel.lying else None
    beside = {each.place.name: bearing_seen(each) for each in movement.places} if movement else {}
    seen = tuple(
        barrel_bearing_seen(place, bench, barrel.verdict)
        if place.is_barrel
        else beside.get(place.name, not_seen(place, lacking))
        for place in watch_places(sheet)
        if not (after and place.is_barrel)
    )
    return PlacesSeen(seen=seen, movement=movement, barrel=barrel, lacking=lacking)


def now_known(rows: Iterable[Measurement], *, after: bool) -> list[Measurement]:
    """Return the sizes as they were before the work, or as they are known since.

    What was not measured again stays as it was, but for a hole that has a new size in another way,
    and a side play read by itself in a bearing that has a new hole or pivot.
    """
    rows = list(rows)
    earlier = {row.key: row for row in rows if not row.after}
    if not after:
        return list(earlier.values())
    later = {row.key: row for row in rows if row.after and row.key.startswith(OF_BEARING)}
    for key in later:
        table, _dot, size = key.rpartition(".")
        gone = HOLES if size in HOLES else ()
        gone = (*gone, "play_mm") if size in (*HOLES, "pivot_mm", "play_mm") else gone
        for each in gone:
            earlier.pop(f"{table}.{each}", None)
    return list((earlier | later).values())


def beside_barrel(visit: Visit) -> list[BearingSeen]:
    """Return the measured bearings beside the barrel's, the worn first."""
    if len(of_barrel(visit.measurements.all())) == len(visit.measurements.all()):
        return []
    order = list(reversed(PlaceStage))
    seen = [each for each in places_seen(visit).seen if not each.place.is_barrel]
    measured = [each for each in seen if each.stage is not PlaceStage.OPEN]
    return sorted(measured, key=lambda each: order.index(each.stage))


def not_seen(place: WatchPlace, lacking: str) -> BearingSeen:
    """Return a bearing of which nothing can be told, and why."""
    return BearingSeen(place=place, stage=PlaceStage.OPEN, sentence=lacking)


@lru_cache(maxsize=256)
def judged_places(sheet: CalibreSheet | None, sizes: Sizes) -> tuple[MovementJudged | None, str]:
    """Return the judgement of all bearings beside the barrel's, or why there is none."""
    rows = [Measurement(key=k, value=v, u=u, word=w) for k, v, u, w in sizes]
    try:
        return movement_judged(sheet, place_lines(rows)), ""
    except InputError as error:
        return None, error.sentence


def instruments_known() -> dict[str, InstrumentKnown]:
    """Return every instrument with its scatter, learnt from all repeats of the workshop."""
    rows = Measurement.objects.exclude(instrument="").exclude(word="").order_by("-pk")
    told = rows.values_list("instrument", "word")[:MOST_LEARNT]
    groups: dict[str, list[tuple[float, ...]]] = {}
    for name, word in told:
        groups.setdefault(name, []).append(Measured.readings(word, "mm"))
    return {
        name: InstrumentKnown(instrument=each, scatter=pooled(groups.get(name, [])))
        for name, each in BY_NAME.items()
    }


def with_instrument(text: str, known: InstrumentKnown | None) -> str:
    """Return a typed size with the instrument's share behind its ±, unless it tells its own.

    One reading has the uncertainty of one; of several only what they share is added, since their
    own scatter tells the rest.

    Raises
    ------
    InputError : it cannot be read
    """
    plain = with_points(text)
    if known is None or not plain or any(sign in plain for sign in PLUS_MINUS):
        return text
    single = len(Measured.readings(plain, "mm")) == 1
    u_mm = known.one_u_mm if single else known.shared_u_mm
    return f"{plain.removesuffix('mm').strip()} ± {2 * u_mm:.2g}"


def store_place(
    visit: Visit, typed: Mapping[str, str], taken: Taken, by: User, *, seen: Mapping[str, int]
) -> None:
    """Store what was measured at a place, each size with what it was read with.

    Raises
    ------
    InputError : a size cannot be read or cannot be; it is named
    Overtaken : somebody else measured the same meanwhile
    """
    known = instruments_known()
    texts = {
        key: with_instrument(text, known.get(taken.instruments.get(key, "")))
        for key, text in typed.items()
    }
    store(visit, texts, by, seen=seen, taken=taken)


def work_for(seen: BearingSeen, judged_so: PlaceJudged | None) -> RepairJob | None:
    """Return the usual job for a worn bearing; None where it is not worn."""
    if seen.stage is not PlaceStage.WORN:
        return None
    return job_for(finding_for(judged_so) if judged_so else BARREL_FINDING)


def offered(judged_so: PlaceJudged | None) -> OfferedFinding | None:
    """Return the finding that a worn bearing is; None of one that is not worn.

    Of the barrel none is offered: its verdict is read by the proposal itself.
    """
    if judged_so is None or judged_so.stage is not PlaceStage.WORN:
        return None
    words = judged_so.place.words
    return OfferedFinding(
        key=finding_for(judged_so),
        head=_("Measured at the %(place)s:") % {"place": words},
        line=evidence_of(judged_so),
        title=worn_title(judged_so),
    )


@transaction.atomic
def note_worn(visit: Visit, offer: OfferedFinding, by: User, *, seen: int) -> Finding:
    """Return the finding with the figures of a worn bearing in its words.

    Parameters
    ----------
    seen : the version of the finding that the person saw; 0 where none was shown

    Raises
    ------
    Overtaken : somebody else has noted or changed it meanwhile
    """
    hold_visits([visit.pk])
    stored = noted_already(Finding.objects.filter(visit=visit), offer)
    record = stored or finding_not_stored(visit, BY_KEY[offer.key], offer.severity)
    record.title = offer.title[:160]
    record.detail = with_line(record.detail, offer)
    save(record, by, seen=seen if stored else None)
    return record


def noted_already(rows: Iterable[Finding], offer: OfferedFinding) -> Finding | None:
    """Return the finding that has a line of this place already, or stands bare in the list."""
    rows = list(rows)
    lines = ((row, line) for row in rows for line in row.detail.splitlines())
    named = next((row for row, line in lines if line.startswith(offer.head)), None)
    return named or standing(rows, offer)
