"""What was heard of a watch in a visit, as the owner's report shows it."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from itertools import groupby

from django.utils.translation import gettext as _

from sideshake.core.quantities import Measured
from sideshake.documents.acceptance import HeardFigures, MeasuredChange, PositionRow
from sideshake.documents.blocks import Picture
from sideshake.documents.result import Ran
from sideshake.timing.compare.compared import OTHER_WAY
from sideshake.timing.compare.difference import Difference
from sideshake.web.comparison.services import SideBySide, ears_apart, figure_of
from sideshake.web.comparison.turning import rings_of, two_turns
from sideshake.web.documents.positions import laid_words
from sideshake.web.documents.words import written_day
from sideshake.web.models import Position as Laid
from sideshake.web.models import Reading, Wound
from sideshake.web.readings.heard_rows import UNCERTAINTY, measured
from sideshake.web.readings.kept_figures import conditions


def tells(reading: Reading) -> bool:
    """Whether a reading told a figure at all."""
    return reading.state == "heard" and any(measured(reading, name) for name in UNCERTAINTY)


def ran(readings: list[Reading], *, after: bool, running_h: Measured | None = None) -> Ran:
    """Return how a watch ran before or after the work: fully wound, its stopwatch off.

    Of a position read twice the last reading counts. Where no reading is noted as fully wound,
    those whose wind nobody noted stand for it.
    """
    told = [each for each in readings if each.after == after and not each.chronograph_on]
    full = [each for each in told if each.wound == Wound.FULL]
    chosen = full or [each for each in told if each.wound == Wound.UNKNOWN]
    rates = {each.position: measured(each, "rate_s_per_day") for each in chosen}
    return Ran(
        rates_s_per_day=tuple(rate for rate in rates.values() if rate is not None),
        running_h=running_h,
    )


def positions_of(readings: list[Reading], *, pocket: bool = False) -> tuple[PositionRow, ...]:
    """Return the readings by wind and position, before beside after, the last of each.

    `pocket` : whether it is a pocket watch
    """
    rows: dict[str, dict[bool, HeardFigures]] = {}
    for reading in sorted(readings, key=in_order):
        words = ", ".join(
            part
            for part in (
                laid_words(str(reading.get_position_display()), pocket=pocket),
                str(reading.get_wound_display()) if reading.wound else "",
                _("chronograph running") if reading.chronograph_on else "",
            )
            if part
        )
        rows.setdefault(words, {})[reading.after] = HeardFigures(
            rate_s_per_day=measured(reading, "rate_s_per_day"),
            amplitude_deg=measured(reading, "amplitude_deg"),
            beat_error_ms=measured(reading, "beat_error_ms"),
        )
    return tuple(
        PositionRow(words=words, before=pair.get(False), after=pair.get(True))
        for words, pair in rows.items()
    )


def in_order(reading: Reading) -> tuple[int, bool, int]:
    """Return a reading's place in the table: full wind first, chronograph off first, CH to 12H."""
    return (
        Wound.values.index(reading.wound),
        reading.chronograph_on,
        Laid.values.index(reading.position),
    )


def changes_of(pair: SideBySide | None) -> tuple[MeasuredChange, ...]:
    """Return what each figure did, in words and as a picture; nothing without a pair."""
    main = pair.compared.main if pair else ()
    groups = [tuple(rows) for _what, rows in groupby(main, key=lambda each: each.what)]
    return tuple(map(change_of, groups))


def change_of(rows: tuple[Difference, ...]) -> MeasuredChange:
    """Return what one figure did at each place."""
    said = tuple(each.sentence for each in rows)
    name = f"{rows[0].what.replace(' ', '-')}-before-and-after.svg"
    return MeasuredChange(
        sentences=said, picture=Picture(name=name, data=figure_of(rows), alt=" ".join(said))
    )


def rings_of_pair(pair: SideBySide, *, pocket: bool = False) -> tuple[Picture, ...]:
    """Return the turn of the escape wheel before and after; none where it was not folded."""
    two = two_turns(pair)
    if two is None:
        return ()
    words = _("Lateness round one turn of the escape wheel, before and after, on one scale")
    laid = replace(two, place=laid_words(two.place, pocket=pocket))
    return (Picture(name="rings.svg", data=rings_of(laid), alt=words),)


def conditions_of(readings: list[Reading], pair: SideBySide | None) -> tuple[tuple[str, str], ...]:
    """Return what the figures rest on: how the watch lay and was wound, lift angle, the clock.

    In an owner's words: which ear and whose clock it was stands on the bench's own pages.
    """
    if not readings:
        return ()
    compared = [*pair.before.readings, *pair.after.readings] if pair else readings
    apart = OTHER_WAY if ears_apart(readings) else ""
    pairs = (
        (_("Heard"), heard_how(compared)),
        (
            _("Lift angle used"),
            "; ".join(filter(None, dict.fromkeys(map(lift_angle_of, compared)))),
        ),
        (_("Rate measured by"), "; ".join(dict.fromkeys(map(clock_check_of, compared)))),
        (_("To be noted"), " ".join(pair.compared.plain) if pair else apart),
    )
    return tuple(told for told in pairs if told[1])


def to_ask(readings: list[Reading], pair: SideBySide | None) -> Iterator[str]:
    """Yield what the restorer should settle about the readings before the report goes out."""
    compared = [*pair.before.readings, *pair.after.readings] if pair else readings
    if ears_apart(compared):
        yield _("before and after by the same ear: hear both again before it is issued")
    beats = {round(each.beats_per_hour) for each in compared if each.beats_per_hour}
    if pair and len(beats) > 1:
        said = _(" and ").join(map(str, sorted(beats)))
        yield _(
            "whether it is the same watch before and after: it beat %(beats)s times an hour"
        ) % {"beats": said}


def heard_how(readings: list[Reading]) -> str:
    """Return in which positions a watch was heard in each state of wind, such as CH, FH (24 h)."""
    by_wind: dict[str, list[Reading]] = {}
    for reading in sorted(readings, key=in_order):
        wound = str(reading.get_wound_display()) if reading.wound else _("wind not noted")
        by_wind.setdefault(wound, []).append(reading)
    return "; ".join(f"{'; '.join(places_of(how))} ({w})" for w, how in by_wind.items())


def places_of(readings: list[Reading]) -> Iterator[str]:
    """Yield the positions of readings, those with the chronograph running by themselves."""
    for running, words in ((False, "%(places)s"), (True, _("chronograph running: %(places)s"))):
        told = [replace(conditions(each), chronograph_on=False).short
                for each in readings if each.chronograph_on == running]  # fmt: skip
        if told:
            yield words % {"places": ", ".join(dict.fromkeys(told))}


def lift_angle_of(reading: Reading) -> str:
    """Return the lift angle that a reading's amplitude rests on; empty where none is noted."""
    angle = reading.figures.get("lift_angle")
    return f"{angle}°" if angle else ""


def clock_check_of(reading: Reading) -> str:
    """Return by what clock a reading's rate was measured: whether it was checked, and when."""
    checked = reading.figures.get("clock")
    if not checked:
        return _("the recorder's clock, not checked; the ± allows for it")
    return _("the recorder's clock, checked on %(day)s") % {"day": day_as_papers_write_it(checked)}


def day_as_papers_write_it(kept: str) -> str:
    """Return the day of a check as papers write days; as it was kept where it is no date."""
    try:
        return written_day(date.fromisoformat(kept))
    except ValueError:
        return kept
