"""What speaks against trusting a reading, in plain sentences."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from sideshake.core.quantities import SECONDS_PER_DAY, Measured, ppm_to_s_per_day
from sideshake.movement.escapement import KNOCKING_DEG
from sideshake.sound.clock import UNKNOWN_WITHIN_PPM
from sideshake.sound.likeness import HeardKind
from sideshake.sound.line import LEAST_WEIGHT
from sideshake.timing.nominal import (
    KNOWN_PER_HOUR,
    LIKELY_S_PER_DAY,
    BeatSource,
    away_s_per_day,
    nearest,
    per_hour,
)
from sideshake.timing.reading import Reading
from sideshake.timing.what_beats import reasons

SHORT_S = 20.0
CLIPPED_SHARE = 2e-5
NOISY_DB = 8.0
MISSING_SHARE = 0.05
ASTRAY_SHARE = 0.03
UNSTEADY_DEG = 15.0


class QualityFlagKind(StrEnum):
    """What a doubt is about; the value is its name in JSON."""

    SHORT = "short"
    CLIPPED = "clipped"
    NOISY = "noisy"
    SAID_WATCH = "said to be a watch"
    OTHER_WATCH = "other watch"
    TWIN = "other watch of the same beat"
    MISSING = "missing beats"
    ASTRAY = "beats astray"
    KNOCKING = "knocking"
    UNSTEADY = "unsteady amplitude"
    ONE_SIDE = "one side only"
    NO_AMPLITUDE = "no amplitude"
    NO_BEAT_ERROR = "no beat error"
    SETTLED = "amplitude settled by what was said"
    LIFT_ANGLE = "lift angle assumed"
    CLOCK = "clock not checked"
    NO_NOMINAL = "beats per hour unknown"
    NOMINAL_TAKEN = "beats per hour assumed"


@dataclass(frozen=True, slots=True)
class QualityFlag:
    """One reason for doubt, with what to do about it."""

    kind: QualityFlagKind
    text: str


def quality_flags(reading: Reading) -> tuple[QualityFlag, ...]:
    """Return the doubts about a reading, the gravest first."""
    return tuple(
        QualityFlag(kind, text)
        for kind, asked in QUESTIONS.items()
        if (text := asked(reading)) is not None
    )


def said_watch(reading: Reading) -> str | None:
    """Say so if it was read only because somebody said that it is a watch."""
    if reading.heard.verdict is HeardKind.WATCH:
        return None
    return (
        f"It does not sound like a watch ({reasons(reading.heard.against)}) and is read as one "
        "only because you say so."
    )


def other_watch(reading: Reading) -> str | None:
    """Say so if a second watch is heard."""
    other = reading.heard.other_beats_per_hour
    if other is None:
        return None
    return f"A second watch is heard, about {other:.0f} beats an hour: take it away and read again."


def twin(reading: Reading) -> str | None:
    """Say so if a second watch of the same beat is heard, and how it runs."""
    other, rate = reading.heard.twin, reading.rate_s_per_day
    if other is None:
        return None
    apart = Measured(other.gains * SECONDS_PER_DAY, other.u * SECONDS_PER_DAY)
    runs = "" if rate is None else f", so its rate is {(rate.value + apart.value):+.0f} s a day"
    runs = runs.replace("-", "−")
    verb = "gains" if apart.value > 0 else "loses"
    return (
        f"A second watch of the same beat is heard. It {verb} "
        f"{Measured(abs(apart.value), apart.u).text()} s a day on this one{runs}: take it away and "
        "read again."
    )


def knocking(reading: Reading) -> str | None:
    """Say so if the amplitude is so large that the balance probably knocks."""
    swing = reading.amplitude_deg
    if swing is None or swing.value < KNOCKING_DEG:
        return None
    return (
        f"{swing.value:.0f}° is so far that the impulse pin probably knocks on the fork's outside; "
        "the rate then means little. Read again less wound."
    )


def clipped(reading: Reading) -> str | None:
    """Say so if the recording is overdriven."""
    share = reading.heard.clipped_share
    if share < CLIPPED_SHARE:
        return None
    return f"The recording is overdriven ({share:.2%} of it at full scale): turn the input down."


def noisy(reading: Reading) -> str | None:
    """Say so if the tick hardly stands out of the room's noise."""
    if reading.clearness_db is None or reading.clearness_db >= NOISY_DB:
        return None
    return (
        f"The tick stands only {reading.clearness_db:.0f} dB above the room: bring the microphone "
        "closer or find quiet."
    )


def short(reading: Reading) -> str | None:
    """Say so if the recording is short."""
    if reading.heard.duration_s >= SHORT_S:
        return None
    return (
        f"Only {reading.heard.duration_s:.0f} s were heard: what repeats more slowly than that is "
        "not in the uncertainty. Half a minute or more is better."
    )


def missing(reading: Reading) -> str | None:
    """Say so if many beats were not heard."""
    beats = reading.heard.beats
    if beats.missing < MISSING_SHARE * (beats.count + beats.missing):
        return None
    return f"{beats.missing} of {beats.count + beats.missing} beats were not heard."


def astray(reading: Reading) -> str | None:
    """Say so if many beats lie off the even beat."""
    off = int(np.count_nonzero(reading.weight < LEAST_WEIGHT))
    if off < ASTRAY_SHARE * reading.weight.size:
        return None
    return (
        f"{off} of {reading.weight.size} beats lie far off the even beat and were left out: a "
        "jolt, a slipping tooth, or a recording that was cut and joined."
    )


def one_side(reading: Reading) -> str | None:
    """Say so if only tick or only tock is heard."""
    late = int(np.count_nonzero(reading.heard.beats.side))
    if min(late, reading.heard.beats.count - late) > 0:
        return None
    half = per_hour(reading.beat_s).value / 2
    alike = (
        f" If both sound alike, the watch beats {half:.0f} times an hour, half of what was told."
    )
    return "Only one of tick and tock is heard: no beat error and no amplitude." + (
        alike if reading.heard.told else ""
    )


def no_amplitude(reading: Reading) -> str | None:
    """Say why there is no amplitude."""
    if not reading.no_amplitude or one_side(reading) is not None:
        return None
    return f"No amplitude: {reading.no_amplitude}."


def no_beat_error(reading: Reading) -> str | None:
    """Say why there is no beat error, or within which bounds it lies."""
    if not reading.no_beat_error or one_side(reading) is not None:
        return None
    return f"No beat error: {reading.no_beat_error}."


def settled(reading: Reading) -> str | None:
    """Say so if what the watch was said to swing decided between amplitudes."""
    if not reading.swing_settled:
        return None
    return (
        "The sound alone leaves more than one amplitude open; how far the watch swings in a like "
        "position, or is said to swing, decided."
    )


def unsteady(reading: Reading) -> str | None:
    """Say so if the amplitude changes much within the recording."""
    series = reading.amplitudes_deg[np.isfinite(reading.amplitudes_deg)]
    if series.size < 2 or np.ptp(series) < UNSTEADY_DEG:
        return None
    return (
        f"The amplitude changes from {series.min():.0f}° to {series.max():.0f}° within the "
        "recording: look for a wheel that drags once a turn."
    )


def lift_angle(reading: Reading) -> str | None:
    """Say so if the lift angle was assumed."""
    if reading.lift_angle_known or reading.amplitude_deg is None:
        return None
    return (
        f"The lift angle was taken as {reading.lift_angle_deg.value:.0f}°, usual but not certain "
        "(48 to 54); each degree changes the amplitude by 1.9 %. Give it with --lift-angle."
    )


def clock(reading: Reading) -> str | None:
    """Say so if the recorder's clock was never checked."""
    if reading.clock.checked or reading.rate_s_per_day is None:
        return None
    return (
        f"This recorder's clock was never checked and may be {UNKNOWN_WITHIN_PPM:.0f} ppm "
        f"({ppm_to_s_per_day(UNKNOWN_WITHIN_PPM):.1f} s a day) off: check it with the command "
        "sideshake clock."
    )


def no_nominal(reading: Reading) -> str | None:
    """Say so if it is unknown how many beats per hour the watch should have."""
    if reading.beats_per_hour is not None:
        return None
    found = per_hour(reading.beat_s)
    hint = " ".join([nearest_hint(found.value), every_second_hint(found.value)]).strip()
    return (
        f"{found.text()} beats an hour are not clearly one of the usual numbers, so there is no "
        f"rate: say how many it should be, by the calibre sheet or with --beats-per-hour. {hint}"
    ).strip()


def nearest_hint(found: float) -> str:
    """Return what the rate would be if the nearest usual number were meant; "" if none is near."""
    known = nearest(found)
    if known is None:
        return ""
    away = away_s_per_day(found, known)
    way = "gain" if away > 0 else "lose"
    return f"If {known:.0f} were meant, it would {way} {abs(away):.0f} s a day."


def every_second_hint(found: float) -> str:
    """Return what it is if one of tick and tock cannot be heard; "" if that is no usual number."""
    near = [
        each for each in KNOWN_PER_HOUR if abs(away_s_per_day(2 * found, each)) < LIKELY_S_PER_DAY
    ]
    return f"If only every second beat can be heard, it is {near[0]:.0f}." if near else ""


def nominal_taken(reading: Reading) -> str | None:
    """Say so if the beats per hour were not told but taken from what is heard."""
    taken = reading.beats_per_hour
    if taken is None or reading.beats_per_hour_from is not BeatSource.NEAREST:
        return None
    away = abs(away_s_per_day(per_hour(reading.beat_s).value, taken))
    hint = every_second_hint(taken) if reading.heard.sides == 1 else ""
    return (
        f"Taken as {taken:.0f} beats an hour, the nearest usual number, {away:.0f} s a day away; "
        f"nobody has said so. The rate holds only if it is right. {hint}"
    ).strip()


QUESTIONS: dict[QualityFlagKind, Callable[[Reading], str | None]] = {
    QualityFlagKind.SAID_WATCH: said_watch,
    QualityFlagKind.OTHER_WATCH: other_watch,
    QualityFlagKind.TWIN: twin,
    QualityFlagKind.KNOCKING: knocking,
    QualityFlagKind.CLIPPED: clipped,
    QualityFlagKind.NOISY: noisy,
    QualityFlagKind.SHORT: short,
    QualityFlagKind.NO_NOMINAL: no_nominal,
    QualityFlagKind.ONE_SIDE: one_side,
    QualityFlagKind.NO_AMPLITUDE: no_amplitude,
    QualityFlagKind.NO_BEAT_ERROR: no_beat_error,
    QualityFlagKind.SETTLED: settled,
    QualityFlagKind.ASTRAY: astray,
    QualityFlagKind.MISSING: missing,
    QualityFlagKind.UNSTEADY: unsteady,
    QualityFlagKind.NOMINAL_TAKEN: nominal_taken,
    QualityFlagKind.LIFT_ANGLE: lift_angle,
    QualityFlagKind.CLOCK: clock,
}
