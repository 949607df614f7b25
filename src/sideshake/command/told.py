"""What a person tells of a watch that is to be heard: a calibre, and what wins over its sheet."""

from dataclasses import replace

from sideshake.analysis.hearing import KnownForHearing, known_of
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet_file import sheet_at
from sideshake.sound.listener import TOLD_PER_HOUR, require_within
from sideshake.timing.amplitude import require_lift_angle
from sideshake.timing.nominal import Nominal
from sideshake.timing.turn.fold import require_teeth

MOST_SWINGS_DEG = (60.0, 360.0)


def told_of_watch(
    calibre: str | None,
    *,
    lift_angle: str | None = None,
    beats_per_hour: float | None = None,
    escape_teeth: int | None = None,
    swings: str | None = None,
    watch: bool = False,
) -> KnownForHearing:
    """Return what is known of a watch: what was told wins over the calibre sheet.

    Raises
    ------
    InputError : there is no such sheet, or something told cannot be
    """
    known = known_of(sheet_at(calibre) if calibre is not None else None)
    if lift_angle is not None:
        known = replace(known, lift_angle_deg=parse_lift(lift_angle))
    if beats_per_hour is not None:
        known = replace(known, beats_per_hour=parse_beats(beats_per_hour))
    if escape_teeth is not None:
        known = replace(known, escape_teeth=parse_teeth(escape_teeth))
    expected = None if swings is None else parse_swings(swings)
    return replace(known, expected_deg=expected, said_watch=watch)


def parse_teeth(escape_teeth: int) -> int:
    """Return the teeth given on the command line."""
    require_teeth(escape_teeth)
    return escape_teeth


def parse_lift(written: str) -> Measured:
    """Return the lift angle written on the command line."""
    try:
        lift = Measured.parse(written, "°")
    except InputError:
        raise InputError(
            f"--lift-angle {written} cannot be read: write degrees, such as 52 or 52+-1"
        ) from None
    require_lift_angle(lift.value)
    return lift


def parse_swings(written: str) -> Measured:
    """Return the amplitude written on the command line."""
    try:
        swing = Measured.parse(written, "°")
    except InputError:
        raise InputError(
            f"--swings {written} cannot be read: write degrees, such as 280 or 280+-10"
        ) from None
    if not MOST_SWINGS_DEG[0] <= swing.value <= MOST_SWINGS_DEG[1]:
        raise InputError(f"--swings {written}: 60 to 360 degrees are possible")
    return swing


def parse_beats(per_hour: float) -> Nominal:
    """Return the beats an hour given on the command line."""
    require_within("--beats-per-hour", per_hour, TOLD_PER_HOUR, "an hour")
    return Nominal(per_hour=per_hour)
