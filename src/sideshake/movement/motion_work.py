"""The motion work, from the minute hand to the hour hand: checked, or completed."""

from fractions import Fraction

from sideshake.core.errors import InputError, Lacking
from sideshake.movement.sheet import MotionWork

HOURS_ON_DIAL = 12


def motion_work_ratio(work: MotionWork) -> Fraction:
    """Return how many turns the minute hand makes for one of the hour hand; 12 is right.

    Raises
    ------
    InputError : one of the four counts lacks
    """
    counts = work.model_dump()
    lacking = [key for key, count in counts.items() if count is None]
    if lacking:
        key = f"motion_work.{lacking[0]}"
        raise Lacking(f"the motion work needs {key} as well", key=key)
    return Fraction(
        counts["minute_wheel"] * counts["hour_wheel"],
        counts["cannon_pinion"] * counts["minute_pinion"],
    )


def require_motion_work(work: MotionWork) -> None:
    """Refuse a motion work whose hour hand does not turn once in twelve hours."""
    ratio = motion_work_ratio(work)
    if ratio != HOURS_ON_DIAL:
        counts = ", ".join(f"{key} {count}" for key, count in work.model_dump().items())
        raise InputError(
            f"the motion work ({counts}) gives {float(ratio):g} turns of the minute hand for one "
            f"of the hour hand; {HOURS_ON_DIAL} are needed"
        )


def motion_work_completed(work: MotionWork, *, ratio: int = HOURS_ON_DIAL) -> MotionWork:
    """Return the motion work with its one missing count solved.

    Raises
    ------
    InputError : none or more than one lacks, or no whole number serves
    """
    counts = work.model_dump()
    lacking = [key for key, count in counts.items() if count is None]
    if len(lacking) != 1:
        raise InputError(f"exactly one count must lack in the motion work, {len(lacking)} do")
    driven = Fraction(counts["minute_wheel"] or 1) * (counts["hour_wheel"] or 1)
    driving = Fraction(counts["cannon_pinion"] or 1) * (counts["minute_pinion"] or 1)
    found = ratio * driving / driven if "wheel" in lacking[0] else driven / (ratio * driving)
    if found.denominator != 1:
        raise InputError(f"no whole number serves as {lacking[0]}: it would be {float(found):.3f}")
    return MotionWork(**{**counts, lacking[0]: int(found)})
