"""What is expected of a size that is typed, and whether a typed one is off by ten or a hundred."""

from dataclasses import dataclass

from sideshake.core.quantities import Measured
from sideshake.wear.bearing import NormalPlay
from sideshake.wear.place_usual import USUAL
from sideshake.wear.watch_places import WatchPlace

SHEET_WITHIN = 1.35
"""A size stands within this ratio of the sheet's, worn or not (common practice, no source)."""
WORN_WITHIN = 1.5
"""A usual range is taken so much wider at both ends."""
PLAUSIBLE_PLAY_MM = (0.001, 0.30)
PLAUSIBLE_SPAN_MM = (0.5, 15.0)
HOLES = ("hole_mm", "hole_long_mm", "hole_short_mm")
PLAYS = ("play_mm", "endshake_mm", "barrel_endshake_mm")
SLIPS = (10.0, 100.0, 0.1, 0.01, 1000.0, 0.001)
"""A point at the wrong place, or micrometres typed for millimetres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What a size should be about: in words, and within what it may be."""

    low_mm: float
    high_mm: float
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A size that looks wrong by a power of ten: how often too large, and what may be meant."""

    times: float
    meant_mm: float

    @property
    def words(self) -> str:
        """Return how far it is off, in words."""
        if self.times > 1:
            return f"{self.times:g} times too large"
        return f"{1 / self.times:g} times too small"


def expected(place: WatchPlace, size: str, normal: NormalPlay | None = None) -> Expected | None:
    """Return what a size of a place should be about; None where nothing is known of it.

    Parameters
    ----------
    size : the end of its key, such as `hole_mm`
    normal : the play of a sound one, where a measured pivot tells it better than the place does
    """
    if size in PLAYS:
        return expected_play(place, size, normal or place.normal_play)
    if size == "span_mm":
        low, high = PLAUSIBLE_SPAN_MM
        return Expected(low_mm=low, high_mm=high)
    if size not in (*HOLES, "pivot_mm"):
        return None
    told = place.hole_mm if size in HOLES else place.pivot_mm
    if told:
        return by_sheet(told)
    low, high = USUAL[place.kind].pivot_mm
    partner = place.pivot_mm if size in HOLES else place.hole_mm
    if partner:
        return by_partner(partner, place, hole=size in HOLES)
    return Expected(
        low_mm=low / WORN_WITHIN,
        high_mm=high * WORN_WITHIN,
        words=f"usually {low:g} to {high:g}, from memory",
    )


def by_sheet(told: Measured) -> Expected:
    """Return what the sheet says of a size."""
    return Expected(
        low_mm=told.value / SHEET_WITHIN,
        high_mm=told.value * SHEET_WITHIN,
        words=f"{told.text()} by the sheet",
    )


def by_partner(partner: Measured, place: WatchPlace, *, hole: bool) -> Expected:
    """Return what a hole should be by the sheet's pivot, or the other way round."""
    normal = place.normal_play
    ends = (normal.low_mm, normal.high_mm) if hole else (-normal.high_mm, -normal.low_mm)
    low, high = (partner.value + each for each in ends)
    return Expected(
        low_mm=low / SHEET_WITHIN,
        high_mm=high * SHEET_WITHIN,
        words=f"{low:.3f} to {high:.3f} by the sheet's {'pivot' if hole else 'hole'}",
    )


def expected_play(place: WatchPlace, size: str, normal: NormalPlay) -> Expected:
    """Return what a side play or an endshake should be."""
    low, high = PLAUSIBLE_PLAY_MM
    usual = normal if size == "play_mm" else place.endshake
    words = f"{usual.low_mm:.3f} to {usual.high_mm:.3f}, {usual.source}" if usual else ""
    return Expected(low_mm=low, high_mm=high, words=words)


def slip_in(value_mm: float, about: Expected | None) -> Slip | None:
    """Return the slip of the point that a typed size looks like; None where it may be right.

    Examples
    --------
    >>> about = Expected(low_mm=0.15, high_mm=0.30)
    >>> slip_in(2.15, about).words, slip_in(0.0215, about).words, slip_in(0.45, about)
    ('10 times too large', '10 times too small', None)
    """
    if about is None or value_mm <= 0 or about.low_mm <= value_mm <= about.high_mm:
        return None
    for times in SLIPS:
        if about.low_mm <= value_mm / times <= about.high_mm:
            return Slip(times=times, meant_mm=round(value_mm / times, 6))
    return None
