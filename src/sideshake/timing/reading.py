"""A reading: what the beats say about the watch, each figure with its uncertainty."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.correlated import relative_u, widened, without_share
from sideshake.core.errors import NotEnough
from sideshake.core.quantities import SECONDS_PER_DAY, Measured
from sideshake.movement.escapement import LEVER, EscapementLimits
from sideshake.sound.clock import SampleClock, unchecked_clock
from sideshake.sound.line import BeatLine, fit_line
from sideshake.sound.listener import Heard
from sideshake.timing.amplitude import (
    Swing,
    amplitude,
    amplitude_deg,
    mean_of,
    out_of_beat_deg,
    require_lift_angle,
)
from sideshake.timing.beat_error import beat_error_s
from sideshake.timing.middle import middle_beat
from sideshake.timing.naming import AmplitudeView
from sideshake.timing.nominal import BeatSource, Nominal, nominal, per_hour
from sideshake.timing.swings import mean_time, placed, settled_by_expectation, swings_of, unlocked
from sideshake.timing.what_beats import refuse_no_watch, refuse_two_in_turn

Floats = NDArray[np.float64]

USUAL_LIFT_DEG = Measured(52.0, 3.0 / math.sqrt(3))
"""The trade's fallback when the lift angle is unknown; 48 to 54 is usual (trade-facts 3.5.1)."""
PULLED_SHARE = 0.03
"""How much of what a second watch of the same beat gains a day may get into the first one's rate
(standard deviation; our assumption: of 40 simulated pairs one was off by 4 %, the others less)."""
SECOND = "a second watch is heard, and its noises may pass for this one's"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How the watch runs. Uncertainties are standard ones; `Measured.expanded` gives 95 %.

    `beat_s` : one beat, true seconds
    `beats_per_hour` : what it should have, None if unknown; then there is no rate;
    `beats_per_hour_from` says who told it
    `rate_s_per_day` : gains are positive; `rate_alone_s_per_day` is without the clock's share
    `amplitude_deg`, `beat_error_ms`, `out_of_beat_deg` : None where the portrait does not carry
    them (`no_amplitude` and `no_beat_error` say why); beat error is half the difference of
    alternate intervals
    `clearness_db` : how far the tick stands above the room, None if there is no portrait
    `scatter_ms` : robust standard deviation of the beats about the even beat
    `lateness_s`, `lateness_at_s` : each beat against the even beat (s), and when
    `weight` : what each beat counts in the fit, 0 for one that lies far off
    `amplitudes_deg`, `amplitudes_at_s` : the amplitude in groups of some 10 s
    `amplitude_chance_deg` : the standard uncertainty of the amplitude by chance alone
    `escapement` : what is usual of the watch's escapement; a lever's where nothing is known
    `swing_settled` : whether the sound left the amplitude open and what was expected decided
    """

    heard: Heard
    clock: SampleClock
    lift_angle_deg: Measured
    lift_angle_known: bool
    beats_per_hour: float | None
    beat_s: Measured
    rate_s_per_day: Measured | None
    rate_alone_s_per_day: Measured | None
    amplitude_deg: Measured | None
    beat_error_ms: Measured | None
    out_of_beat_deg: Measured | None
    no_amplitude: str
    scatter_ms: float
    clearness_db: float | None
    lateness_s: Floats
    lateness_at_s: Floats
    weight: Floats
    amplitudes_deg: Floats
    amplitudes_at_s: Floats
    beats_per_hour_from: BeatSource | None = None
    swing_settled: bool = False
    amplitude_chance_deg: float = 0.0
    no_beat_error: str = ""
    escapement: EscapementLimits = LEVER

    @property
    def amplitude_alone_deg(self) -> Measured | None:
        """Return the amplitude without the lift angle's share, as if that were known exactly."""
        swing, lift = self.amplitude_deg, self.lift_angle_deg
        if swing is None:
            return None
        return without_share(swing, relative_u(lift))


def read(  # noqa: PLR0913 - each is one thing that somebody may know of the watch
    heard: Heard,
    *,
    lift_angle_deg: Measured | None = None,
    beats_per_hour: float | Nominal | None = None,
    clock: SampleClock | None = None,
    expected_deg: Measured | None = None,
    said_watch: bool = False,
) -> Reading:
    """Return the reading of what was heard.

    `expected_deg` : about what the watch swings, from an earlier reading or its twin position; it
    only decides between amplitudes that the sound leaves open
    `said_watch` : somebody says that it is a watch, whatever it sounds like

    Raises
    ------
    TwoWatches : two of the same beat are heard in turn
    NoWatch : it only beats evenly, and nobody says that it is a watch
    InputError : a lift angle that cannot be, or beats per hour that do not fit what is heard
    NotEnough : too few beats on each side for a line
    """
    lift, clock = lift_angle_deg or USUAL_LIFT_DEG, clock or unchecked_clock()
    require_lift_angle(lift.value)
    line, rest = even_beat(heard)
    view = AmplitudeView(beat_s=line.beat, lift_angle_deg=lift.value, expected_deg=expected_deg)
    swings, reason = swings_of(heard, view)
    seen = placed(heard)
    beat_s = pulled(middle_beat(heard, seen, clock, sure=bool(seen and swings)), heard)
    refuse_two_in_turn(heard)
    if not said_watch:
        refuse_no_watch(heard, with_clock(beat_s, clock))
    known = nominal(per_hour(beat_s), beats_per_hour)
    wanted = known.per_hour if known else None
    if second_heard(heard):
        swings, reason = [], SECOND
    swing, reason = told_swing(swings, reason, line.beat, lift)
    error, no_error = told_error(heard, line)
    clear = [note.clearness_db for note in heard.notes if np.isfinite(note.clearness_db)]
    at_s, series = amplitude_series(swings, line.beat, lift.value)
    return Reading(
        heard=heard,
        clock=clock,
        lift_angle_deg=lift,
        lift_angle_known=lift_angle_deg is not None,
        beats_per_hour=wanted,
        beats_per_hour_from=known.source if known else None,
        beat_s=with_clock(beat_s, clock),
        rate_s_per_day=None if wanted is None else rate(beat_s, wanted, clock.fast_ppm.u),
        rate_alone_s_per_day=None if wanted is None else rate(beat_s, wanted, 0.0),
        amplitude_deg=swing,
        beat_error_ms=None if error is None else Measured(abs(error.value) * 1e3, error.u * 1e3),
        out_of_beat_deg=None if error is None or swing is None else tilt(error, swing, line.beat),
        no_amplitude=reason,
        scatter_ms=line.sigma * 1e3,
        clearness_db=max(clear, default=None),
        lateness_s=lateness(heard, rest, error),
        lateness_at_s=heard.beats.arrival_s,
        weight=line.weight,
        amplitudes_deg=series,
        amplitudes_at_s=at_s,
        amplitude_chance_deg=0.0 if swing is None else chance_deg(swings, line.beat, swing.value),
        no_beat_error=no_error,
        swing_settled=swing is not None and settled_by_expectation(heard, swings),
    )


def second_heard(heard: Heard) -> bool:
    """Return whether another watch sounds besides, whose noises may pass for this one's."""
    return heard.twin is not None or heard.other_beats_per_hour is not None


def told_swing(
    swings: list[Swing], reason: str, beat_s: float, lift_angle_deg: Measured
) -> tuple[Measured | None, str]:
    """Return the amplitude; or None, and why there is none."""
    if not swings:
        return None, reason
    try:
        return amplitude(mean_time(swings), beat_s=beat_s, lift_angle_deg=lift_angle_deg), ""
    except NotEnough as blurred:
        return None, str(blurred)


def told_error(heard: Heard, line: BeatLine) -> tuple[Measured | None, str]:
    """Return the beat error (s), tock late being positive; or None, and why there is none."""
    if second_heard(heard):
        return None, SECOND
    try:
        return beat_error_s(heard, line, unlocked(heard)), ""
    except NotEnough as why:
        return None, str(why)


def pulled(beat_s: Measured, heard: Heard) -> Measured:
    """Return one beat, open by how far a second watch's noises may have drawn the beats along."""
    apart = 0.0 if heard.twin is None else heard.twin.gains
    return widened(beat_s, PULLED_SHARE * apart * beat_s.value)


def even_beat(heard: Heard) -> tuple[BeatLine, Floats]:
    """Return the even beat by the recorder's count, and each beat's distance from it."""
    beats = heard.beats
    sides = [np.count_nonzero(beats.side == side) for side in (0, 1)]
    if beats.count < 6 or max(sides) < 3:
        raise NotEnough(f"{beats.count} beats are too few for a reading")
    index = beats.index.astype(np.float64)
    line = fit_line(index, beats.side, beats.arrival_s)
    return line, beats.arrival_s - line.at(index, beats.side)


def chance_deg(swings: list[Swing], beat_s: float, swing_deg: float) -> float:
    """Return the amplitude's standard uncertainty (degrees) by the beats' chance alone."""
    each = [
        Measured(swing.time_s.value, max(swing.time_s.u, swing.scatter_u_s)) for swing in swings
    ]
    time_s = mean_of(each)
    turn = math.pi / (2 * beat_s)
    return swing_deg * turn / math.tan(turn * time_s.value) * time_s.u


def with_clock(beat_s: Measured, clock: SampleClock) -> Measured:
    """Return one beat with the share of the recorder's clock in its uncertainty."""
    return widened(beat_s, clock.fast_ppm.u * 1e-6 * beat_s.value)


def rate(beat_s: Measured, per_hour: float, clock_ppm: float) -> Measured:
    """Return the rate, seconds a day gained (trade-facts 3.2.10: 86400 (T0 - T) / T).

    Examples
    --------
    >>> round(rate(Measured(0.39995371 / 2), 18000, 0).value, 2)
    10.0
    """
    u = math.hypot(beat_s.u / beat_s.value, clock_ppm * 1e-6) * SECONDS_PER_DAY
    return Measured(SECONDS_PER_DAY * (3600 / per_hour / beat_s.value - 1), u)


def tilt(error_s: Measured, swing: Measured, beat_s: float) -> Measured:
    """Return by how many degrees the balance is out of beat."""
    value = out_of_beat_deg(abs(error_s.value), beat_s=beat_s, amplitude=swing.value)
    each_s = out_of_beat_deg(error_s.u, beat_s=beat_s, amplitude=swing.value)
    return Measured(value, math.hypot(each_s, value * swing.u / swing.value))


def lateness(heard: Heard, rest: Floats, error: Measured | None) -> Floats:
    """Return how late each beat is against the even beat (s).

    `rest` is that against the even beat of its own side; the beat error parts tick and tock.
    """
    half = 0.0 if error is None else error.value / 2
    return rest + np.where(heard.beats.side == 1, half, -half)


def amplitude_series(swings: list[Swing], beat_s: float, lift_deg: float) -> tuple[Floats, Floats]:
    """Return when (s) and how far (degrees) the balance swings, a value for some 10 s each."""
    at_s, series = [], []
    for swing in swings:
        edges = np.linspace(swing.start_s, swing.end_s, swing.groups_s.size + 1)
        for middle, time_s in zip((edges[:-1] + edges[1:]) / 2, swing.groups_s, strict=True):
            if 0 < time_s < beat_s:
                at_s.append(float(middle))
                series.append(amplitude_deg(time_s, beat_s=beat_s, lift_angle_deg=lift_deg))
    return np.array(at_s), np.array(series)
