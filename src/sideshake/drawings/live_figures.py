"""Ring, strip and portrait as numbers for a page that draws them itself, twice a second.

The same numbers that the pictures are made of, rounded to what a screen can show; their size does
not grow with the time listened.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import COVERAGE_FACTOR
from sideshake.drawings.ring import REACH, farthest_s, round_bar_s
from sideshake.drawings.sound_portrait import trace_of, unlocking_s, window_of
from sideshake.drawings.strip import even_beat_u_s, stems_of, time_scale
from sideshake.timing.noises import Lift, impulse_ms, lift_of
from sideshake.timing.reading import Reading
from sideshake.timing.turn.fold import WheelTurn

Floats = NDArray[np.float64]

BAND_KNOTS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveRing:
    """One turn of the escape wheel, in milliseconds: lateness, its 95 % half-width, the band's.

    `reach_ms` is the farthest that the ring must hold; `marked` are the places that stand out.
    """

    late_ms: list[float]
    wide_ms: list[float]
    band_ms: float
    reach_ms: float
    bar_ms: float
    marked: list[int]
    turns: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveStrip:
    """Stems along time: `at` in `time_unit`, lateness and the frame's `half_ms` in milliseconds.

    `side` is 0 for tick and 1 for tock; `band_ms` is the 95 % half-width of the even beat at equal
    distances from 0 to `end`; `each` beats make a stem.
    """

    at: list[float]
    late_ms: list[float]
    side: list[int]
    band_ms: list[float]
    end: float
    half_ms: float
    time_unit: str
    each: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LivePortrait:
    """Tick and tock: `at_ms` after unlocking, level in dB above the noise floor's zero.

    `drop_ms` and `impulse_ms` : where these noises begin, None where they are not surely seen
    `lift` : what the interval from unlocking to drop says, empty without an amplitude
    """

    tick_at_ms: list[float]
    tick_db: list[float]
    tock_at_ms: list[float]
    tock_db: list[float]
    window_ms: list[float]
    impulse_ms: float | None
    drop_ms: float | None
    lift: str
    beats: int


def live_ring(turn: WheelTurn) -> LiveRing:
    """Return the numbers of the ring."""
    reach_ms = farthest_s(turn) * 1e3
    return LiveRing(
        late_ms=rounded(turn.late_s * 1e3, reach_ms),
        wide_ms=rounded(COVERAGE_FACTOR * turn.u_s * 1e3, reach_ms),
        band_ms=COVERAGE_FACTOR * turn.scatter_s * 1e3,
        reach_ms=reach_ms,
        bar_ms=round_bar_s(REACH / farthest_s(turn)) * 1e3,
        marked=np.flatnonzero(turn.stands_out).tolist(),
        turns=turn.turns,
    )


def live_strip(reading: Reading, escape_teeth: int | None) -> LiveStrip:
    """Return the numbers of the strip."""
    stems, end_s = stems_of(reading, escape_teeth), reading.heard.duration_s
    unit, per_s = time_scale(end_s)
    half_ms = stems.half_s * 1e3
    band_s = even_beat_u_s(reading, np.linspace(0.0, end_s, BAND_KNOTS))
    return LiveStrip(
        at=rounded(stems.at_s / per_s, end_s / per_s),
        late_ms=rounded(stems.late_s * 1e3, half_ms),
        side=stems.side.astype(int).tolist(),
        band_ms=rounded(band_s * 1e3, half_ms),
        end=end_s / per_s,
        half_ms=half_ms,
        time_unit=unit,
        each=stems.each,
    )


def live_portrait(reading: Reading) -> LivePortrait:
    """Return the numbers of the portrait picture.

    Raises
    ------
    NotEnough : neither side has enough beats for a portrait
    """
    portraits = reading.heard.portraits
    if not any(portraits):
        raise NotEnough("too few beats for a portrait")
    lift = known_lift(reading)
    window_ms = window_of(portraits, lift)
    tick, tock = (trace_of(each, unlocking_s(each, lift), window_ms) for each in portraits)
    return LivePortrait(
        tick_at_ms=rounded(tick.at_ms, 100),
        tick_db=rounded(tick.level_db, 1000),
        tock_at_ms=rounded(tock.at_ms, 100),
        tock_db=rounded(tock.level_db, 1000),
        window_ms=list(window_ms),
        impulse_ms=None if lift is None else impulse_ms(lift),
        drop_ms=None if lift is None else lift.time_s.value * 1e3,
        lift="" if lift is None else lift_words(reading, lift),
        beats=sum(each.onsets.beats for each in portraits if each is not None),
    )


def known_lift(reading: Reading) -> Lift | None:
    """Return the lift interval, None where the sound does not carry it."""
    try:
        return lift_of(reading)
    except NotEnough:
        return None


def lift_words(reading: Reading, lift: Lift) -> str:
    """Return the dimension of the lift interval in words."""
    return f"{lift.time_s.value * 1e3:.2f} ms = {reading.lift_angle_deg.value:g}°"


def rounded(values: Floats, scale: float) -> list[float]:
    """Return values to a thousandth of their scale or finer, so that they are short to send.

    Examples
    --------
    >>> rounded(np.array([1.23456]), 100.0)
    [1.23]
    """
    places = max(0, 4 - int(np.floor(np.log10(max(scale, 1e-9)))))
    short: list[float] = np.round(values, min(places, 6)).tolist()
    return short
