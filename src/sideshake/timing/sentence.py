"""A reading said in a sentence, and what it means by the trade's usual limits."""

from typing import TYPE_CHECKING

from sideshake.core.quantities import Measured
from sideshake.movement.escapement import KNOCKING_DEG, LEVER, EscapementLimits
from sideshake.timing.nominal import per_hour

if TYPE_CHECKING:
    from sideshake.timing.reading import Reading

GOOD_BEAT_ERROR_MS = 0.5
POOR_BEAT_ERROR_MS = 1.0
HOW_TO_READ = "± is the 95 % interval; beat error is half the difference of alternate intervals."


def sentence(reading: "Reading") -> str:
    """Return the reading as one sentence, each figure with its 95 % interval."""
    return ", ".join([say_rate(reading), say_swing(reading), say_beat_error(reading)]) + "."


def say_rate(reading: "Reading") -> str:
    """Return the rate in words, or the beat where there is no rate."""
    rate = reading.rate_s_per_day
    if rate is None:
        return f"Beats {per_hour(reading.beat_s).text()} times an hour"
    verb = "Gains" if rate.value >= 0 else "Loses"
    if abs(rate.value) <= rate.expanded:
        return f"Keeps time as far as can be told ({rate.text(sign=True)} s a day)"
    return f"{verb} {Measured(abs(rate.value), rate.u).text()} s a day"


def say_swing(reading: "Reading") -> str:
    """Return the amplitude in words."""
    if reading.amplitude_deg is None:
        return "amplitude not to be told"
    return f"swings {reading.amplitude_deg.text()}°"


def say_beat_error(reading: "Reading") -> str:
    """Return the beat error in words."""
    error = reading.beat_error_ms
    if error is None:
        return "beat error not to be told"
    angle = reading.out_of_beat_deg
    turned = f" ({angle.text()}°)" if angle is not None else ""
    return f"out of beat by {error.text()} ms{turned}"


def meaning(reading: "Reading") -> list[str]:
    """Return what the figures mean for a watch of which nothing else is known.

    Limits: trade-facts 3.5.5 to 3.5.7 and 3.5.14, the last two common practice without a source.
    """
    said = []
    swing = reading.amplitude_deg
    if swing is not None and swing.value < KNOCKING_DEG:
        said.append(meaning_of_swing(swing.value, reading.escapement))
    error = reading.beat_error_ms
    if error is not None and error.value - error.expanded > POOR_BEAT_ERROR_MS:
        said.append("Out of beat enough to deserve setting (over 1 ms).")
    elif error is not None and error.value + error.expanded < GOOD_BEAT_ERROR_MS:
        said.append("Well in beat (under 0.5 ms).")
    return said


def meaning_of_swing(amplitude_deg: float, usual: EscapementLimits) -> str:
    """Return what an amplitude means, lying and fully wound, for such an escapement."""
    kind = "" if usual is LEVER else f" for a {usual.name}"
    if amplitude_deg >= usual.healthy_deg:
        return f"Lying and fully wound, that is a healthy swing{kind}."
    if amplitude_deg >= usual.tolerated_deg:
        healthy = "one" if usual is LEVER else usual.name
        return (
            f"Lying and fully wound, an old watch may swing so; a healthy {healthy} reaches "
            f"{usual.healthy_deg:g}°."
        )
    return "Lying and fully wound, that is too little: power is lost before the balance."
