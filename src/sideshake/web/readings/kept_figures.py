"""From rows of readings to the values that are reckoned with; nothing here asks the database."""

from collections.abc import Iterable
from dataclasses import replace

from sideshake.analysis.rounds import RoundRead
from sideshake.core.quantities import Measured
from sideshake.timing.compare.conditions import Conditions
from sideshake.timing.compare.reading_figures import ReadingFigures
from sideshake.timing.positions.summary import Position
from sideshake.web.models import Reading
from sideshake.web.readings.heard_rows import HEARD, measured


def figures_of(reading: Reading) -> ReadingFigures:
    """Return what a reading says, and what its uncertainties rest on."""
    kept, rate = reading.figures, measured(reading, "rate_s_per_day")
    lift = kept.get("lift_angle_deg")
    return ReadingFigures(
        conditions=conditions(reading),
        rate_s_per_day=rate,
        rate_alone_u_s_per_day=reading.rate_alone_u_s_per_day if rate else None,
        amplitude_deg=measured(reading, "amplitude_deg"),
        beat_error_ms=measured(reading, "beat_error_ms"),
        beats_per_hour=reading.beats_per_hour,
        lift_angle_deg=Measured(lift, kept.get("lift_angle_u_deg", 0.0)) if lift else None,
        recorder=kept.get("recorder", ""),
        clock_checked_on=kept.get("clock", ""),
        ear=reading.ear,
    )


def conditions(reading: Reading) -> Conditions:
    """Return how a watch lay, was wound, and whether its chronograph ran."""
    return Conditions(
        position=Position(reading.position) if reading.position else None,
        wound=reading.wound,
        chronograph_on=reading.chronograph_on,
    )


def round_read(readings: Iterable[Reading], wound: str) -> RoundRead:
    """Return readings as those of a round; the ones that were not heard do not count.

    Older rows do not tell the microphone among their figures: then the row itself does.
    """
    heard = [each for each in readings if each.state == HEARD]
    told = tuple(by_recorder(figures_of(each), each.recorder) for each in heard)
    return RoundRead(readings=told, wound=wound)


def by_recorder(read: ReadingFigures, recorder: str) -> ReadingFigures:
    """Return figures with the microphone they were read by, where they do not tell it."""
    return read if read.recorder else replace(read, recorder=recorder)
