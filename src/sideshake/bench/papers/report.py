"""A visit's records as the owner's report and the care card."""

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from sideshake.bench.models import (
    Photograph,
    PlanStep,
    Reading,
    Used,
    Visit,
    Workshop,
    Wound,
    the_workshop,
)
from sideshake.bench.models import Position as Laid
from sideshake.bench.papers.words import letterhead, paper_size, picture_of, written_day
from sideshake.bench.services.comparing import SideBySide, conditions, ears_apart, usual_of
from sideshake.bench.services.comparing import picture_of as drawn
from sideshake.bench.services.hearing import UNCERTAINTY, measured
from sideshake.bench.services.looking import cautions_for
from sideshake.bench.services.measuring import judged, sizes_seen
from sideshake.bench.services.turning import rings_of, two_turns
from sideshake.bench.sheets import sheet_named
from sideshake.errors import InputError
from sideshake.movement.calendar import Engagement, observed
from sideshake.paper.blocks import Caution, Picture
from sideshake.paper.care_card import CareCard, care_card
from sideshake.paper.report import (
    Done,
    Finding,
    Heard,
    PartFitted,
    Position,
    Proof,
    Report,
    SizeAfter,
)
from sideshake.pictures.section import section_drawing, section_of
from sideshake.pictures.svg import svg_text
from sideshake.quantities import Measured

MOST_PICTURES = 4


def report_of(visit: Visit, *, day: date) -> Report:
    """Return the owner's report of a visit, from rows already fetched."""
    photographs = list(visit.photographs.all())
    shown = {finding.photograph_id for finding in visit.findings.all()}
    return Report(
        head=letterhead(),
        day=day,
        visit=visit.number,
        watch=visit.watch.title,
        owner=visit.watch.owner.name,
        story=visit.watch.story,
        portrait=picture_of(next((p for p in photographs if p.pk not in shown), None)),
        seen=seen_on(visit),
        findings=tuple(findings_of(visit, photographs)),
        drawings=drawings_of(visit),
        done=tuple(done_in(visit)),
        parts=tuple(part_of(used) for used in visit.used.all()),
        not_original=tuple(
            f"{used.batch.item.name}: {used.note or _('made for this watch')}"
            for used in visit.used.all()
            if used.batch.origin in ("made", "generic") and used.batch.item.kind != "supply"
        ),
        proof=proof_of(visit),
        look_after=tuple(line for line in visit.advice.splitlines() if line.strip()),
        cautions=cautions_of(visit),
        next_service=written_day(visit.next_service_on),
        warranty=warranty_of(visit),
        words=the_workshop().report_words,
        paper=paper_size(),
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


def findings_of(visit: Visit, photographs: list[Photograph]) -> list[Finding]:
    """Return the findings with their photographs; each photograph once."""
    by_pk = {photograph.pk: photograph for photograph in photographs}
    used: set[int] = set()
    made = []
    for row in visit.findings.all():
        picture = None
        if row.photograph_id and row.photograph_id not in used and len(used) < MOST_PICTURES:
            used.add(row.photograph_id)
            picture = picture_of(by_pk.get(row.photograph_id))
        pictures = (picture,) if picture else ()
        made.append(Finding(title=row.title, detail=row.detail, pictures=pictures))
    return made


def drawings_of(visit: Visit) -> tuple[Picture, ...]:
    """Return the section through the barrel, when its sizes were measured and judged."""
    known = judged(visit)
    if known.verdict is None or known.lying is None or not known.is_judged:
        return ()
    lying = known.lying
    drawing = section_drawing(section_of(lying.calibre, lying.found, lying.bench, known.verdict))
    data = svg_text(drawing).encode()
    return (Picture(name="section.svg", data=data, alt=known.verdict.sentence),)


def done_in(visit: Visit) -> list[Done]:
    """Return what was done: what the owner wanted, and what was noted at the bench."""
    agreed = [proposal for proposal in visit.proposals.all() if proposal.state == "agreed"]
    options = [option for each in agreed for option in each.options.all() if option.chosen]
    noted = [
        Done(what=step.title, why=step.note)
        for step in visit.plan.all()
        if step.kind == PlanStep.Kind.WORK and step.done_at and step.note
    ]
    return [Done(what=option.title, why=option.reason) for option in options] + noted


def part_of(used: Used) -> PartFitted:
    """Return a part that went in."""
    return PartFitted(
        what=f"{used.quantity} × {used.batch.item.name}",
        origin=used.batch.get_origin_display(),
        old_part=used.get_old_part_display(),
    )


def proof_of(visit: Visit) -> Proof:
    """Return what was measured before and after."""
    readings = [reading for reading in visit.readings.all() if tells(reading)]
    reserve = test_of(visit, ("reserve", "running-time"))
    water = dated(test_of(visit, ("water", "pressure")))
    pair = usual_of(readings)
    return Proof(
        positions=positions_of(readings),
        difference=tuple(each.sentence for each in pair.compared.main) if pair else (),
        pictures=pictures_of_pair(pair) if pair else (),
        conditions=conditions_of(readings, pair),
        sizes=tuple(
            SizeAfter(name=each.name, before=each.before, after=each.after)
            for each in sizes_seen(visit.measurements.all())
            if each.after
        ),
        running_time=said_value(reserve),
        water=water.words if water else "",
        water_day=water.day if water else "",
    )


def tells(reading: Reading) -> bool:
    """Whether a reading told a figure at all."""
    return reading.state == "heard" and any(measured(reading, name) for name in UNCERTAINTY)


@dataclass(frozen=True, slots=True, kw_only=True)
class Dated:
    """What a test showed, and on which day."""

    words: str
    day: str


def dated(test: PlanStep | None) -> Dated | None:
    """Return a test's result with its day; None without either: it holds for that day only."""
    if test is None or not test.result or test.done_at is None:
        return None
    words = f"{test.get_result_display()} {test.note}".strip()
    return Dated(words=words, day=written_day(test.done_at.date()))


def test_of(visit: Visit, words: tuple[str, ...]) -> PlanStep | None:
    """Return the visit's test whose key speaks of one of the words, if it has a result."""
    return next(
        (
            step
            for step in visit.plan.all()
            if step.kind == PlanStep.Kind.TEST
            and (step.result or step.value is not None)
            and any(word in step.key for word in words)
        ),
        None,
    )


def said_value(test: PlanStep | None) -> str:
    """Return what a test measured, with its 95 % interval where it has one."""
    if test is None or test.value is None:
        return ""
    value = Measured(test.value, test.u).text() if test.u else f"{test.value:g}"
    return f"{value} {test.unit}".strip()


def positions_of(readings: list[Reading]) -> tuple[Position, ...]:
    """Return the readings by wind and position, before beside after, the last of each."""
    rows: dict[str, dict[bool, Heard]] = {}
    for reading in sorted(readings, key=in_order):
        words = ", ".join(
            part
            for part in (
                str(reading.get_position_display()),
                str(reading.get_wound_display()) if reading.wound else "",
                _("chronograph running") if reading.chronograph_on else "",
            )
            if part
        )
        rows.setdefault(words, {})[reading.after] = Heard(
            rate_s_per_day=measured(reading, "rate_s_per_day"),
            amplitude_deg=measured(reading, "amplitude_deg"),
            beat_error_ms=measured(reading, "beat_error_ms"),
        )
    return tuple(
        Position(words=words, before=pair.get(False), after=pair.get(True))
        for words, pair in rows.items()
    )


def in_order(reading: Reading) -> tuple[int, bool, int]:
    """Return a reading's place in the table: full wind first, chronograph off first, CH to 12H."""
    return (
        Wound.values.index(reading.wound),
        reading.chronograph_on,
        Laid.values.index(reading.position),
    )


def pictures_of_pair(pair: SideBySide) -> tuple[Picture, ...]:
    """Return the pictures of before and after: the figures, and the turn of the escape wheel."""
    said = " ".join(each.sentence for each in pair.compared.main)
    figures = Picture(name="before-and-after.svg", data=drawn(pair.compared.main), alt=said)
    two = two_turns(pair)
    if two is None:
        return (figures,)
    words = _("Lateness round one turn of the escape wheel, before and after, on one scale")
    return (Picture(name="rings.svg", data=rings_of(two), alt=words), figures)


def conditions_of(readings: list[Reading], pair: SideBySide | None) -> tuple[tuple[str, str], ...]:
    """Return what the figures rest on: how the watch lay and was wound, lift angle, sound clock."""
    if not readings:
        return ()
    compared = [*pair.before.readings, *pair.after.readings] if pair else readings
    pairs = (
        (_("Heard"), heard_how(compared)),
        (_("Lift angle used"), "; ".join(dict.fromkeys(map(lift_angle_of, compared)))),
        (_("Sound clock checked"), "; ".join(dict.fromkeys(map(clock_check_of, compared)))),
        (_("Heard by"), "; ".join(dict.fromkeys(each.heard_by for each in compared))),
        (_("To be noted"), " ".join(pair.compared.cautions) if pair else ears_apart(readings)),
    )
    return tuple(told for told in pairs if told[1])


def heard_how(readings: list[Reading]) -> str:
    """Return in which positions a watch was heard in each state of wind, such as CH, FH (24 h)."""
    by_wind: dict[str, list[str]] = {}
    for reading in readings:
        wound = str(reading.get_wound_display()) if reading.wound else _("wind not noted")
        by_wind.setdefault(wound, []).append(conditions(reading).short)
    return "; ".join(f"{', '.join(dict.fromkeys(how))} ({w})" for w, how in by_wind.items())


def lift_angle_of(reading: Reading) -> str:
    """Return the lift angle that a reading's amplitude rests on."""
    angle = reading.figures.get("lift_angle")
    return f"{angle}°" if angle else _("not noted")


def clock_check_of(reading: Reading) -> str:
    """Return when the sound clock of a reading was checked, and whose it is."""
    checked = reading.figures.get("clock")
    if not checked:
        return _("not checked; the intervals allow for it")
    return f"{checked} ({reading.figures.get('recorder', _('this computer'))})"


def cautions_of(visit: Visit) -> tuple[Caution, ...]:
    """Return the grave cautions that concern the owner too."""
    found = [finding.key for finding in visit.findings.all()]
    return tuple(
        Caution(title=each.title, words=each.text, grave=True)
        for each in cautions_for(visit.watch, found)
        if each.grave
    )


def warranty_of(visit: Visit) -> str:
    """Return until when the warranty runs, and what it covers."""
    if not visit.warranty_until:
        return ""
    until = _("until %(day)s") % {"day": written_day(visit.warranty_until)}
    return f"{until}. {the_workshop().warranty_wording}".strip()


def card_of(visit: Visit) -> CareCard:
    """Return the care card of a visit's watch; hours observed on it count before the sheet's.

    Raises
    ------
    InputError : neither calibre sheet nor observed hours tell when the date must not be set
    """
    sheet, seen = sheet_named(visit.watch.calibre), date_moves(visit)
    if sheet is None and seen is None:
        raise InputError(
            _("a care card is made from the calibre sheet; name it at the watch first")
        )
    shop: Workshop = the_workshop()
    return care_card(
        sheet,
        watch=visit.watch.title[:60],
        workshop=shop.name[:60],
        next_service=written_day(visit.next_service_on),
        observed=seen,
    )


def date_moves(visit: Visit) -> Engagement | None:
    """Return when the date was seen to move on this watch; None when nobody noted both times."""
    begins, moved = visit.date_change_from, visit.date_change_until
    if begins is None or moved is None:
        return None
    return observed(f"{begins:%H:%M}", f"{moved:%H:%M}")
