"""A reading: what the beats say about the watch, each figure with its uncertainty."""

import math
from contextlib import suppress
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.errors import InputError, NotEnough
from sideshake.quantities import SECONDS_PER_DAY, Measured
from sideshake.sound.clock import SampleClock, unchecked_clock
from sideshake.sound.line import Line, fit_line
from sideshake.sound.listener import Heard
from sideshake.timing.amplitude import (
    Swing,
    amplitude,
    amplitude_deg,
    mean_of,
    out_of_beat_deg,
    page_swing,
    require_lift_angle,
)
from sideshake.timing.naming import require_sure
from sideshake.timing.scatter import slope_uncertainty
from sideshake.timing.what_beats import refuse_no_watch, refuse_two_in_turn

Floats = NDArray[np.float64]

USUAL_LIFT_DEG = Measured(52.0, 3.0 / math.sqrt(3))
"""The trade's fallback when the lift angle is unknown; 48 to 54 is usual (trade-facts 3.5.1)."""
KNOWN_PER_HOUR = (
    14400.0, 16200.0, 16800.0, 18000.0, 19440.0, 19800.0, 21000.0, 21306.0, 21600.0, 22320.0,
    25200.0, 28800.0, 32400.0, 36000.0,
)  # fmt: skip
"""Beats per hour that exist (trade-facts 3.5.4, from memory)."""
NEAR = 0.006
LOUD_U_S = 1.2e-3
"""Standard uncertainty of a beat error told from loudness alone (checked on three real clocks)."""
LEAST_WEIGHT = 1e-6
UNSEEN_DRIFT, LEAST_DRIFT_U = 1.5e-6, 1e-7
"""Standard uncertainty (s a s) of a beat where nobody knows how the amplitude drifted: one degree
in half a minute at 200 degrees and 18 000 beats an hour (our assumption)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How the watch runs. Uncertainties are standard ones; `Measured.expanded` gives 95 %.

    `beat_s` : one beat, true seconds
    `beats_per_hour` : what it should have, None if unknown; then there is no rate
    `rate_s_per_day` : gains are positive; `rate_alone_s_per_day` is without the clock's share
    `amplitude_deg`, `beat_error_ms`, `out_of_beat_deg` : None where the portrait does not carry
    them (`no_amplitude` says why); beat error is half the difference of alternate intervals
    `clearness_db` : how far the tick stands above the room, None if there is no portrait
    `scatter_ms` : robust standard deviation of the beats about the even beat
    `lateness_s`, `lateness_at_s` : each beat against the even beat (s), and when
    `weight` : what each beat counts in the fit, 0 for one that lies far off
    `amplitudes_deg`, `amplitudes_at_s` : the amplitude in groups of some 10 s
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

    @property
    def amplitude_alone_deg(self) -> Measured | None:
        """Return the amplitude without the lift angle's share, as if that were known exactly."""
        swing, lift = self.amplitude_deg, self.lift_angle_deg
        if swing is None:
            return None
        from_lift = swing.value * lift.u / lift.value
        return Measured(swing.value, math.sqrt(max(0.0, swing.u**2 - from_lift**2)))


def read(
    heard: Heard,
    *,
    lift_angle_deg: Measured | None = None,
    beats_per_hour: float | None = None,
    clock: SampleClock | None = None,
    said_watch: bool = False,
) -> Reading:
    """Return the reading of what was heard.

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
    beat_s = line_beat(heard, line, rest, clock)
    swings, reason = swings_of(heard, beat_s=line.beat, lift_angle_deg=lift.value)
    beat_s = at_middle(beat_s, placed(heard))
    whole_s = with_clock(beat_s, clock)
    refuse_two_in_turn(heard)
    if not said_watch:
        refuse_no_watch(heard, whole_s)
    nominal = nominal_per_hour(3600 / beat_s.value, beats_per_hour)
    swing = None
    if swings:
        try:
            swing = amplitude(mean_time(swings), beat_s=line.beat, lift_angle_deg=lift)
        except NotEnough as blurred:
            reason = str(blurred)
    error = beat_error_s(heard, line, swings)
    clear = [note.clearness_db for note in heard.notes if np.isfinite(note.clearness_db)]
    at_s, series = amplitude_series(swings, line.beat, lift.value)
    return Reading(
        heard=heard,
        clock=clock,
        lift_angle_deg=lift,
        lift_angle_known=lift_angle_deg is not None,
        beats_per_hour=nominal,
        beat_s=whole_s,
        rate_s_per_day=None if nominal is None else rate(beat_s, nominal, clock.fast_ppm.u),
        rate_alone_s_per_day=None if nominal is None else rate(beat_s, nominal, 0.0),
        amplitude_deg=swing,
        beat_error_ms=None if error is None else Measured(abs(error.value) * 1e3, error.u * 1e3),
        out_of_beat_deg=None if error is None or swing is None else tilt(error, swing, line.beat),
        no_amplitude="" if swing else reason,
        scatter_ms=line.sigma * 1e3,
        clearness_db=max(clear, default=None),
        lateness_s=lateness(heard, rest, error),
        lateness_at_s=heard.beats.arrival_s,
        weight=line.weight,
        amplitudes_deg=series,
        amplitudes_at_s=at_s,
    )


def even_beat(heard: Heard) -> tuple[Line, Floats]:
    """Return the even beat by the recorder's count, and each beat's distance from it."""
    beats = heard.beats
    sides = [np.count_nonzero(beats.side == side) for side in (0, 1)]
    if beats.count < 6 or max(sides) < 3:
        raise NotEnough(f"{beats.count} beats are too few for a reading")
    index = beats.index.astype(np.float64)
    line = fit_line(index, beats.side, beats.arrival_s)
    return line, beats.arrival_s - line.at(index, beats.side)


def line_beat(heard: Heard, line: Line, rest: Floats, clock: SampleClock) -> Measured:
    """Return one beat in true seconds, uncertain only by the beats' scatter."""
    sound = line.weight > LEAST_WEIGHT
    u = slope_uncertainty(heard.beats.index[sound], rest[sound])
    return Measured(clock.true_s(line.beat), u)


def with_clock(beat_s: Measured, clock: SampleClock) -> Measured:
    """Return one beat with the share of the recorder's clock in its uncertainty."""
    return Measured(beat_s.value, math.hypot(beat_s.u, clock.fast_ppm.u * 1e-6 * beat_s.value))


def nominal_per_hour(found: float, told: float | None) -> float | None:
    """Return the beats per hour the watch should have: as told, else the known one it is near."""
    if told is not None:
        if not told > 0:
            raise InputError(f"beats per hour must be above 0, got {told:g}")
        if abs(found / told - 1) > 0.05:
            raise InputError(f"{told:g} beats per hour were given, but {found:.0f} are heard")
        return told
    nearest = KNOWN_PER_HOUR[int(np.argmin(np.abs(np.array(KNOWN_PER_HOUR) - found)))]
    return nearest if abs(found / nearest - 1) < NEAR else None


def rate(beat_s: Measured, per_hour: float, clock_ppm: float) -> Measured:
    """Return the rate, seconds a day gained (trade-facts 3.2.10: 86400 (T0 - T) / T).

    Examples
    --------
    >>> round(rate(Measured(0.39995371 / 2), 18000, 0).value, 2)
    10.0
    """
    u = math.hypot(beat_s.u / beat_s.value, clock_ppm * 1e-6) * SECONDS_PER_DAY
    return Measured(SECONDS_PER_DAY * (3600 / per_hour / beat_s.value - 1), u)


def swings_of(
    heard: Heard, *, beat_s: float, lift_angle_deg: float
) -> tuple[list[Swing], str]:
    """Return the swing of each page that shows one, and why the last that does not shows none."""
    swings, reason = [], ""
    for note in heard.notes:
        if note.heard:
            try:
                require_sure(note, beat_s=beat_s, lift_angle_deg=lift_angle_deg)
                swings.append(page_swing(note))
            except NotEnough as why:
                reason = str(why)
    return swings, reason


def placed(heard: Heard) -> list[Swing]:
    """Return what the portraits say of each page with two noises placed, whatever they are.

    Whichever they are, they move apart as the amplitude changes.
    """
    swings = []
    for note in heard.notes:
        with suppress(NotEnough):
            swings.append(page_swing(note))
    return swings


def mean_time(swings: list[Swing]) -> Measured:
    """Return the mean time from unlocking to drop; what the onsets' shape adds is common to all."""
    mean = mean_of([swing.time_s for swing in swings])
    shape = float(np.mean([swing.shape_u_s for swing in swings]))
    return Measured(mean.value, math.hypot(mean.u, shape))


def at_middle(beat_s: Measured, swings: list[Swing]) -> Measured:
    """Return the beat as the balance passes the middle of lift.

    The arrivals follow the loudest noise, mostly the drop, which comes the sooner after the middle
    the wider the balance swings: while the amplitude grows, it seems to gain.
    """
    if not swings:
        return Measured(beat_s.value, math.hypot(beat_s.u, UNSEEN_DRIFT * beat_s.value))
    drift = middle_drift(swings)
    u = math.hypot(drift.u, LEAST_DRIFT_U)
    return Measured(beat_s.value * (1 + drift.value), math.hypot(beat_s.u, u * beat_s.value))


def middle_drift(swings: list[Swing]) -> Measured:
    """Return how fast the middle of lift moves against the arrivals (s a s).

    From within the pages, and from page to page, each weighed by its certainty.
    """
    found = [swing.drift for swing in swings]
    if len(swings) > 1:
        at_s = np.array([(swing.start_s + swing.end_s) / 2 for swing in swings])
        middle = np.array([swing.middle_s.value for swing in swings])
        centred = at_s - at_s.mean()
        squares = float(centred @ centred)
        slope = float(centred @ middle) / squares
        rest = middle - middle.mean() - slope * centred
        own2 = float(np.mean([swing.middle_s.u**2 for swing in swings]))
        scatter2 = float(rest @ rest) / max(1, len(swings) - 2)
        found.append(Measured(slope, math.sqrt(max(own2, scatter2) / squares)))
    weight = np.array([1 / max(each.u, 1e-12) ** 2 for each in found])
    value = float(weight @ [each.value for each in found]) / float(weight.sum())
    return Measured(value, float(weight.sum()) ** -0.5)


def beat_error_s(heard: Heard, line: Line, swings: list[Swing]) -> Measured | None:
    """Return half the difference of alternate intervals (s), tock late being positive.

    The intervals are between unlockings, as the trade hears them (trade-facts 3.1.1, 3.2.6).
    """
    if not np.isfinite(line.start).all():
        return None
    offset = side_offset_s(heard, swings)
    if offset is None:
        return None
    late = int(np.count_nonzero(heard.beats.side))
    counts = (heard.beats.count - late, late)
    sides = line.sigma * math.sqrt(1 / counts[0] + 1 / counts[1])
    value = float(line.start[1] - line.start[0]) + offset.value
    return Measured(value, math.hypot(offset.u, sides))


def side_offset_s(heard: Heard, swings: list[Swing]) -> Measured | None:
    """Return how much later after its moment unlocking comes on tock than on tick.

    From the onsets where they are found; else from where tick and tock are loud, which is far less
    sure, and only if they sound alike.
    """
    if swings:
        mean = mean_of([swing.offset_s for swing in swings])
        shape = float(np.mean([swing.offset_shape_u_s for swing in swings]))
        return Measured(mean.value, math.hypot(mean.u, shape))
    loud = [note.loud_offset_s for note in heard.notes if note.loud_offset_s is not None]
    return Measured(float(np.mean(loud)), LOUD_U_S) if loud else None


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
