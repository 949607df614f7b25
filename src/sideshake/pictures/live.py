"""Lateness and portrait as numbers for a page that draws them itself, twice a second.

The same numbers that the charts are made of, rounded to what a screen can show; their size does not
grow with the time listened.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.errors import NotEnough
from sideshake.pictures.lateness import course_of, even_beat_u_s, thinned
from sideshake.pictures.sound_portrait import trace_of, unlocking_s, window_of
from sideshake.timing.noises import Lift, impulse_ms, lift_of
from sideshake.timing.reading import Reading

Floats = NDArray[np.float64]

BAND_KNOTS = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveLateness:
    """Each beat's lateness: `at` in `time_unit`, `late` and the frame's `half` in `late_unit`.

    `side` is 0 for tick and 1 for tock; `band` is the 95 % half-width of the even beat at equal
    distances from 0 to `end`.
    """

    at: list[float]
    late: list[float]
    side: list[int]
    band: list[float]
    end: float
    half: float
    time_unit: str
    late_unit: str


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


def live_lateness(reading: Reading) -> LiveLateness:
    """Return the numbers of the lateness picture."""
    course = course_of(reading)
    drawn = thinned(course)
    band_s = even_beat_u_s(reading, np.linspace(*course.ends, BAND_KNOTS) * course.per_time_s)
    return LiveLateness(
        at=rounded(course.at[drawn], course.ends[1]),
        late=rounded(course.late[drawn], course.half),
        side=course.side[drawn].astype(int).tolist(),
        band=rounded(band_s / course.per_late_s, course.half),
        end=course.ends[1],
        half=course.half,
        time_unit=course.time_unit,
        late_unit=course.late_unit,
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
        impulse_ms=None if lift is None else impulse_ms(portraits, lift),
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
