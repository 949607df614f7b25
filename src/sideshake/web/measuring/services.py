"""Measured sizes: typed in, stored, and what they say together with the calibre sheet."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from threading import Event
from typing import Any

from django.db import close_old_connections, transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.analysis.barrel import BarrelJudged, judge_barrel
from sideshake.analysis.jewel import AS_JUDGED, FittingWish, fit_jewel
from sideshake.analysis.on_bench import laid_out
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.fit.jewel import as_made
from sideshake.fit.workshop import WorkshopTools
from sideshake.movement.plain import unit_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.written import checked
from sideshake.wear.ahead import ahead_sentences
from sideshake.wear.measure_first import to_measure
from sideshake.wear.measurements import Measurements
from sideshake.wear.outlook import Worth
from sideshake.wear.sizes import with_default
from sideshake.wear.verdict import Action, BearingPlace, Verdict
from sideshake.web.base.saving import EditConflict, remove, save
from sideshake.web.base.typed import with_points
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.measuring.kept_verdicts import judged_once
from sideshake.web.measuring.place_rows import (
    of_barrel,
    place_names,
    place_size_name,
    require_places,
    written,
)
from sideshake.web.measuring.taken import Taken
from sideshake.web.models import ENDED, Measurement, Outwork, User, Visit
from sideshake.workshop_rules.repair import Lying, Repair, part_name

MOST_SIGNS: int = Measurement._meta.get_field("word").max_length or 0
"""As much as is kept of what was typed."""
WORDS = ("directions.turns", "above.metal", "below.metal")
"""Lines that hold a word and no number."""
PLAIN = ("amplitude_deg",)
"""Lines that hold a number without an uncertainty."""
MOST_SHOWN = 6
"""Measurements that are proposed at once."""
USUAL_U_MM: float = Measurements.model_fields["u_mm"].default
LEFT_OUT = {"calibre", "watch", "metal_only", "passes_through", "u_mm"}


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeLine:
    """One line that can be measured: its key, what it means, and an example."""

    key: str
    meaning: str
    example: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What the measured sizes say: a verdict, or the sentence why there is none."""

    barrel: BarrelJudged | None = None
    lying: Lying | None = None
    lacking: str = ""

    @property
    def verdict(self) -> Verdict | None:
        """Return what to do, and how sure."""
        return self.barrel.verdict if self.barrel else None

    @property
    def is_judged(self) -> bool:
        """Return whether there is a verdict, and not only what to measure first."""
        return self.verdict is not None and self.verdict.action is not Action.MEASURE

    @property
    def ahead(self) -> list[str]:
        """Return from where on it rubs and what is still worth measuring."""
        return ahead_sentences(self.verdict) if self.verdict else []

    @property
    def worth(self) -> list[Worth]:
        """Return the measurements that pay, the most value for a minute first."""
        ahead = self.verdict.outlook if self.verdict else None
        return [each for each in ahead.worth if each.pays][:MOST_SHOWN] if ahead else []

    @property
    def to_repeat(self) -> str:
        """Return which measurement to take again, or at all; empty where nothing is in doubt."""
        if self.verdict is None or self.lying is None or self.verdict.doubt is None:
            return ""
        return to_measure(self.lying.bench.case.barrel, self.verdict.doubt.name)


def size_lines() -> dict[str, list[SizeLine]]:
    """Return every line that can be measured, by the table it stands in."""
    tables: dict[str, list[SizeLine]] = {}
    for table, told in Measurements.model_fields.items():
        section: Any = told.annotation
        if hasattr(section, "model_fields"):
            rows = section.model_fields.items()
            tables[table] = [
                size_line(f"{table}.{key}", each) for key, each in rows if key not in LEFT_OUT
            ]
    tables["lid"], tables["floor"] = tables.pop("lid"), tables.pop("floor")
    tables["watch"] = [size_line("amplitude_deg", Measurements.model_fields["amplitude_deg"])]
    return tables


TITLES = {
    "above": gettext_lazy("Arbor, bridge side"),
    "below": gettext_lazy("Arbor, plate side"),
    "barrel": gettext_lazy("Play and room round the barrel"),
    "lid": gettext_lazy("Lid's hole on the arbor"),
    "floor": gettext_lazy("Floor's hole on the arbor"),
    "directions": gettext_lazy("Where the partners lie"),
    "watch": gettext_lazy("The watch"),
}


MEASURED_AFTER = ("above", "below", "barrel", "lid", "floor")
"""The tables that the work can change."""
BEARINGS = {name: TITLES[name] for name in MEASURED_AFTER if name != "barrel"}
"""The tables of a hole and the pivot in it."""


def names() -> dict[str, str]:
    """Return what each line is called where it stands alone: its table and its meaning."""
    return {
        line.key: f"{TITLES[table]}: {line.meaning}"
        for table, lines in size_lines().items()
        for line in lines
    }


def name_of(key: str) -> str:
    """Return what the size with a key is called."""
    return names().get(key) or place_size_name(key)


def size_line(key: str, told: Any) -> SizeLine:
    """Return one line from its field in the table of measurements."""
    example = told.examples[0] if told.examples else told.default
    return SizeLine(key=key, meaning=told.description or key, example=str(example))


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeSeen:
    """One size before and after the work, as it is said; empty where it was not measured."""

    key: str
    name: str
    before: str
    after: str
    photographs: tuple[int, ...] = ()
    """The keys of those in which it was measured."""


def sizes_seen(rows: Iterable[Measurement]) -> list[SizeSeen]:
    """Return the measured sizes in the order of the form, before beside after."""
    rows = list(rows)
    texts = {(row.key, row.after): said(row) for row in rows}
    shown: dict[str, set[int]] = {}
    for row in rows:
        if row.photograph_id is not None and row.note:
            shown.setdefault(row.key, set()).add(row.photograph_id)
    return [
        SizeSeen(
            key=key,
            name=name,
            before=texts.get((key, False), ""),
            after=texts.get((key, True), ""),
            photographs=tuple(sorted(shown.get(key, ()))),
        )
        for key, name in (names() | place_names(rows)).items()
        if (key, False) in texts or (key, True) in texts
    ]


def said(row: Measurement) -> str:
    """Return a size as it is said: a length with its 95 % interval and unit."""
    if row.value is None or row.key in WORDS:
        return row.word
    if not row.key.endswith("_mm"):
        return f"{Measured(row.value, row.u or 0.0).text()}°"
    return f"{with_default(Measured(row.value, row.u or 0.0), USUAL_U_MM).text()} mm"


@transaction.atomic
def store(
    visit: Visit,
    typed: Mapping[str, str],
    by: User,
    *,
    seen: Mapping[str, int],
    taken: Taken | None = None,
) -> None:
    """Store the sizes that were typed; an emptied one is removed. Nothing is kept of a bad set.

    Parameters
    ----------
    typed : by key, as it was typed; keys that are not there stay as they are
    seen : by key, the version the person saw
    taken : when, and in which photograph; before the work and by hand if left out

    Raises
    ------
    InputError : a size cannot be read or cannot be; each is named
    Overtaken : somebody else measured the same meanwhile
    """
    taken = taken or Taken()
    here = Measurement.objects.filter(visit=visit, after=taken.after)
    rows = {row.key: row for row in here}
    for key, text in typed.items():
        row = rows.get(key)
        if row is not None and key not in seen and not means(row, text):
            raise EditConflict(row, None)
        if text.strip():
            changed = row or Measurement(visit=visit, key=key, after=taken.after)
            if taken.photograph or row is None or taken.differs(row) or not means(row, text):
                stand_on(changed, taken)
            put(changed, text)
            save(changed, by, seen=seen.get(key))
        elif row is not None:
            remove(row, by, seen=seen.get(key))
    found(here.all())
    require_places(here.all())


def stand_on(row: Measurement, taken: Taken) -> None:
    """Put down in which photograph a size was measured, and what that told; or that in none."""
    row.photograph, row.note = taken.photograph, taken.told
    row.instrument = taken.instruments.get(row.key, "")


def means(row: Measurement, text: str) -> bool:
    """Return whether what was typed is what is stored already."""
    if not text.strip():
        return False
    typed = Measurement(key=row.key)
    put(typed, text)
    return (typed.value, typed.u, typed.word) == (row.value, row.u, row.word)


def put(row: Measurement, text: str) -> None:
    """Put what was typed into a row: a word, or a number with its uncertainty.

    Several readings, and what says of itself what its ± is, are kept as they were typed too.
    """
    if row.key in WORDS:
        row.word = text.strip()[:MOST_SIGNS]
        return
    try:
        plain = with_points(text)
        size = Measured.parse(plain, unit_of(row.key))
        if len(plain) > MOST_SIGNS:
            raise InputError(
                _("%(count)d signs are too many; give the mean and its ±") % {"count": len(plain)}
            )
    except InputError as error:
        raise InputError(f"{name_of(row.key)}: {error}") from None
    row.value, row.u = size.value, size.u or None
    row.word = plain if Measured.parse(size.typed()) != size else ""


def found(rows: Iterable[Measurement]) -> Measurements:
    """Return the stored sizes as a table of measurements.

    Raises
    ------
    InputError : a size cannot be; it is named by its key
    """
    tree: dict[str, Any] = {}
    for row in of_barrel(rows):
        *table, key = row.key.split(".")
        text: Any = written(row)
        if row.key in PLAIN and row.value is not None:
            text = row.value
        (tree.setdefault(table[0], {}) if table else tree)[key] = text
    return checked(Measurements, tree, _("the measured sizes"))


def judged(visit: Visit) -> Judged:
    """Return what a visit's sizes say; from rows already fetched, and computed once."""
    rows = [row for row in of_barrel(visit.measurements.all()) if not row.after]
    if not rows:
        return Judged(lacking=_("No size is measured yet."))
    key = tuple(sorted((row.key, row.value, row.u, row.word) for row in rows))
    return judged_sizes(sheet_named(visit.watch.calibre), key)


def before_measuring(visit: Visit) -> Judged | None:
    """Return what to measure first; None as soon as a size is measured."""
    if any(not row.after for row in of_barrel(visit.measurements.all())):
        return None
    return judged_sizes(sheet_named(visit.watch.calibre), ())


def judge_those_here(closing: Event) -> None:
    """Reckon the verdict of every visit that has not ended; it is kept for the pages.

    `closing` ends it early.
    """
    here = Visit.objects.exclude(step__in=ENDED).exclude(measurements=None).distinct()
    try:
        for visit in here.select_related("watch").prefetch_related("measurements"):
            if closing.is_set():
                return
            judged(visit)
    finally:
        close_old_connections()


Sizes = tuple[tuple[str, float | None, float | None, str], ...]


@lru_cache(maxsize=512)
def judged_sizes(sheet: CalibreSheet | None, sizes: Sizes) -> Judged:
    """Return the verdict on sizes of a calibre; a sentence when there can be none."""
    if sheet is None:
        return Judged(lacking=_("A verdict needs the watch's calibre sheet; name it at the watch."))
    try:
        measured = found(Measurement(key=k, value=v, u=u, word=w) for k, v, u, w in sizes)
        lying = laid_out(sheet, measured)
        return Judged(barrel=judged_once(sheet, sizes, lambda: judge_barrel(lying)), lying=lying)
    except (InputError, NotEnough) as error:
        return Judged(lacking=str(error))


def repair_at(
    known: Judged, place: BearingPlace, reference: str, *, tools: WorkshopTools | None = None
) -> Repair:
    """Return the new part for one hole; without tools the reamers are left open.

    Raises
    ------
    InputError : there is no verdict, or no part fits; says why
    """
    if known.verdict is None or known.lying is None:
        raise InputError(known.lacking)
    wish = FittingWish(tools=tools) if tools else AS_JUDGED
    return fit_jewel(known.lying, place, known.verdict, reference=reference, wish=wish)


def place_of(place: str) -> BearingPlace:
    """Return which hole is meant.

    Raises
    ------
    InputError : it is neither above nor below
    """
    if place not in list(BearingPlace):
        raise InputError(_("a hole is above (bridge) or below (plate)"))
    return BearingPlace(place)


def wish_for(visit: Visit, place: BearingPlace, by: User) -> Outwork:
    """Return the wish to have a hole's part made, stored for the next jewel order."""
    made = repair_at(judged(visit), place, visit.number)
    part = as_made(made.fit)
    wish = Outwork(
        visit=visit,
        what=part_name(made),
        jewel=True,
        material=part.material.name,
        colour=part.colour,
        bore=part.bore.value,
        sink=part.sink,
        hole_mm=round(part.hole_mm, 4),
        outside_mm=round(part.outside_mm, 4),
        thickness_mm=round(part.thickness_mm, 4),
    )
    save(wish, by)
    return wish
