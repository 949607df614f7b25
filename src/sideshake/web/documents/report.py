"""A visit's records as the owner's report."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.documents.acceptance import Proof, SizeAfter
from sideshake.documents.report import PartFitted, Report, ReportFinding
from sideshake.documents.result import Result, WorkStage, result_words
from sideshake.web.comparison.services import SideBySide, usual_of
from sideshake.web.documents.agreed import agreed_words
from sideshake.web.documents.answered import causes_of, to_answer
from sideshake.web.documents.care_cards import cautions_of
from sideshake.web.documents.drawn import drawings_of, holes_before_and_after
from sideshake.web.documents.home_tests import (
    not_good,
    running_time,
    tested_rows,
    tests_told,
    unnamed,
    water_day,
    water_words,
)
from sideshake.web.documents.new_seats import into_bare_holes
from sideshake.web.documents.positions import is_pocket_watch, laid_pair
from sideshake.web.documents.readings import (
    changes_of,
    conditions_of,
    positions_of,
    ran,
    rings_of_pair,
    tells,
    to_ask,
)
from sideshake.web.documents.words import letterhead, paper_size, picture_of, written_day
from sideshake.web.documents.work_done import (
    AT_WORK,
    FINISHED,
    bare_name,
    done_in,
    findings_seen,
    stage_of,
)
from sideshake.web.models import (
    Measurement,
    Photograph,
    Reading,
    Used,
    Visit,
    the_workshop,
)
from sideshake.workshop_rules.acceptance_told import AcceptanceTold

if TYPE_CHECKING:
    from sideshake.web.measuring.services import SizeSeen


def report_of(visit: Visit, *, day: date) -> Report:
    """Return the owner's report of a visit, from rows already fetched."""
    photographs = list(visit.photographs.all())
    pocket, stage = is_pocket_watch(visit.watch), stage_of(visit)
    pair = laid_pair(usual_of(readings_of(visit)), pocket=pocket)
    tested = tests_told(visit)
    causes = causes_of(visit, tested)
    return Report(
        head=letterhead(),
        day=day,
        written=written_day(day),
        visit=visit.number,
        watch=visit.watch.title,
        owner=visit.watch.owner.name,
        agreed=agreed_words(visit, until=day),
        stage=stage,
        result=result_words(result_of(visit, stage, tested)),
        told_us=visit.complaint,
        causes=causes,
        story=visit.watch.story,
        portrait=picture_of(next((each for each in photographs if each.opens_report), None)),
        seen=seen_on(visit),
        findings=tuple(findings_of(visit, photographs)),
        drawings=drawings_of(visit),
        done=done_in(visit, pair, tested),
        parts=parts_of(visit),
        not_original=tuple(not_original(visit)),
        proof=proof_of(visit, pair, tested, pocket=pocket),
        look_after=tuple(line for line in visit.advice.splitlines() if line.strip()),
        cautions=cautions_of(visit),
        next_service=written_day(visit.next_service_on),
        warranty=warranty_of(visit),
        words=the_workshop().report_words,
        missing=(
            *work_unticked(visit, stage),
            *to_answer(visit, stage, causes),
            *to_ask(readings_of(visit), pair),
            *unnamed(visit),
            *pictures_gone(visit, photographs),
        ),
        paper=paper_size(),
    )


def readings_of(visit: Visit) -> list[Reading]:
    """Return the readings that told a figure."""
    return [reading for reading in visit.readings.all() if tells(reading)]


def result_of(visit: Visit, stage: WorkStage, tested: Mapping[str, AcceptanceTold]) -> Result:
    """Return what the paragraph of result rests on."""
    readings = readings_of(visit)
    return Result(
        stage=stage,
        now=ran(readings, after=True, running_h=running_time(visit)),
        came=ran(readings, after=False),
        ran_when_it_came=visit.runs,
        not_good=tuple(not_good(tested)),
        seen=findings_seen(visit),
    )


def seen_on(visit: Visit) -> tuple[tuple[str, str], ...]:
    """Return what was seen of the watch."""
    watch = visit.watch
    pairs = (
        (_("On the dial"), watch.dial_name),
        (_("Case"), watch.case_seen),
        (_("Dial and hands"), watch.dial_seen),
        (_("Case number"), watch.case_serial),
        (_("Movement number"), watch.movement_serial),
        (_("Came to us"), written_day(visit.arrived_on)),
    )
    return tuple((name, words) for name, words in pairs if words)


@dataclass(frozen=True, slots=True, kw_only=True)
class AsFound:
    """What is told of a watch as found: title, words, and the photograph in which it is seen."""

    title: str
    detail: str
    photograph: Photograph | None


def told_of(visit: Visit, photographs: list[Photograph]) -> Iterator[AsFound]:
    """Yield the findings, then what was measured in a photograph."""
    by_pk = {photograph.pk: photograph for photograph in photographs}
    for row in visit.findings.all():
        photograph = by_pk.get(row.photograph_id or 0)
        yield AsFound(title=row.title, detail=row.detail, photograph=photograph)
    bearings: dict[tuple[int, str, bool], list[str]] = {}
    for size in visit.measurements.all():
        if size.photograph_id in by_pk and size.note:
            table = size.key.rpartition(".")[0]
            bearings.setdefault((size.photograph_id, table, size.after), []).append(size.note)
    if not bearings:
        return
    from sideshake.web.measuring.place_rows import place_title  # loads all that judges
    from sideshake.web.measuring.services import TITLES

    for (pk, table, after), sentences in bearings.items():
        words = _("%(hole)s, measured after the work") if after else _("%(hole)s, measured")
        detail = "\n".join(dict.fromkeys(sentences))
        hole = TITLES.get(table) or place_title(table)
        yield AsFound(title=words % {"hole": hole}, detail=detail, photograph=by_pk[pk])


def findings_of(visit: Visit, photographs: list[Photograph]) -> list[ReportFinding]:
    """Return what was found and measured, each with its photograph.

    A photograph that several share stands at the first; the others point to it.
    """
    shown: dict[int, str] = {}
    made = []
    for told in told_of(visit, photographs):
        photograph = told.photograph
        first = shown.get(photograph.pk) if photograph else None
        picture = None if first else picture_of(photograph)
        if picture and photograph:
            shown[photograph.pk] = told.title
        see = _("See the photograph at “%(finding)s”.") % {"finding": first} if first else ""
        detail = "\n".join(part for part in (told.detail, see) if part)
        pictures = (picture,) if picture else ()
        made.append(ReportFinding(title=told.title, detail=detail, pictures=pictures))
    return made


def work_unticked(visit: Visit, stage: WorkStage) -> Iterator[str]:
    """Yield that nothing was ticked as done, where the work has begun or is over."""
    if stage is WorkStage.FINDINGS and visit.step in (*AT_WORK, *FINISHED):
        yield _("any work: no step is ticked as done, so it is called a report of findings")


def pictures_gone(visit: Visit, photographs: list[Photograph]) -> Iterator[str]:
    """Yield which photographs of findings cannot be shown since their file is gone."""
    for told in told_of(visit, photographs):
        if told.photograph and picture_of(told.photograph) is None:
            yield _("the photograph of “%(finding)s”, whose file is gone") % {"finding": told.title}


def parts_of(visit: Visit) -> tuple[PartFitted, ...]:
    """Return the parts that went in; no old one comes back from a hole that had none."""
    bare = into_bare_holes(visit)
    return tuple(part_of(used, new=used.batch.item.kind in bare) for used in visit.used.all())


def part_of(used: Used, *, new: bool = False) -> PartFitted:
    """Return a part that went in; `new` where there was none before it."""
    return PartFitted(
        what=f"{used.quantity} × {used.batch.item.name}",
        origin=str(ORIGINS[used.batch.origin]),
        old_part=str(OLD_PARTS["none" if new else used.old_part]),
    )


ORIGINS = {
    "original": gettext_lazy("the watch's maker"),
    "old-stock": gettext_lazy("old stock, unused"),
    "generic": gettext_lazy("another maker"),
    "made": gettext_lazy("made for it"),
}
"""Where a part is from, in an owner's words."""
OLD_PARTS = {
    "none": gettext_lazy("there was none"),
    "returned": gettext_lazy("comes back to you"),
    "kept": gettext_lazy("stays with us"),
}
"""What becomes of an old part, in an owner's words."""


def not_original(visit: Visit) -> Iterator[str]:
    """Yield which parts are not the maker's any more, and what they are."""
    for used in visit.used.all():
        if used.batch.item.kind != "supply" and used.batch.origin in OTHER_THAN_MADE:
            said = used.note and used.note.casefold() not in used.batch.item.name.casefold()
            note = f", {used.note}" if said else ""
            yield f"{used.batch.item.name}{note}: {OTHER_THAN_MADE[used.batch.origin]}"


OTHER_THAN_MADE = {"made": gettext_lazy("newly made"), "generic": gettext_lazy("not the maker's")}
"""Origins of parts that are not as the watch was made."""


def proof_of(
    visit: Visit,
    pair: SideBySide | None,
    tested: Mapping[str, AcceptanceTold],
    *,
    pocket: bool,
) -> Proof:
    """Return what was measured before and after."""
    rings = rings_of_pair(pair, pocket=pocket) if pair else ()
    readings, hours = readings_of(visit), running_time(visit)
    return Proof(
        positions=positions_of(readings, pocket=pocket),
        changes=changes_of(pair),
        pictures=(*holes_before_and_after(visit), *rings),
        conditions=conditions_of(readings, pair),
        sizes=sizes_again(list(visit.measurements.all())),
        tests=tuple(tested_rows(tested)),
        running_time=f"{hours.text()} h" if hours else "",
        water=water_words(visit),
        water_day=water_day(visit),
    )


def sizes_again(rows: list[Measurement]) -> tuple[SizeAfter, ...]:
    """Return the sizes measured after the work; what judges them is loaded where there are some."""
    if not any(row.after for row in rows):
        return ()
    from sideshake.web.measuring.services import sizes_seen

    return sizes_after(sizes_seen(rows))


def sizes_after(seen: "list[SizeSeen]") -> tuple[SizeAfter, ...]:
    """Return the sizes measured after the work; beside a round hole stands the oval one it was."""
    before = {each.key: each.before for each in seen}
    return tuple(
        SizeAfter(
            name=bare_name(each), before=each.before or oval(before, each.key), after=each.after
        )
        for each in seen
        if each.after
    )


def oval(before: dict[str, str], key: str) -> str:
    """Return both axes of the hole that a diameter was measured of afterwards; empty without."""
    place, _dot, size = key.rpartition(".")
    axes = [before.get(f"{place}.{name}", "") for name in ("hole_long_mm", "hole_short_mm")]
    if size != "hole_mm" or not all(axes):
        return ""
    return _("%(long)s by %(short)s") % {"long": axes[0].removesuffix(" mm"), "short": axes[1]}


def warranty_of(visit: Visit) -> str:
    """Return until when the warranty runs, and what it covers."""
    if not visit.warranty_until:
        return ""
    until = _("until %(day)s") % {"day": written_day(visit.warranty_until)}
    return f"{until}. {the_workshop().warranty_wording}".strip()
