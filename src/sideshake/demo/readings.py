"""How a watch is heard in its positions before and after the work."""

from dataclasses import replace
from datetime import date, timedelta
from math import cos, radians
from random import Random

from sideshake.core.quantities import Measured
from sideshake.demo.days import Days
from sideshake.demo.mechanism import Calibre
from sideshake.demo.script import Going, VisitScript
from sideshake.demo.visit import Position, Sound
from sideshake.timing.poise.heavy_spot import shows
from sideshake.timing.positions.harmonic import UP_DEG

LYING: tuple[Position, ...] = ("CH", "FH")
HANGING: tuple[Position, ...] = ("9H", "6H", "3H")
SIXTH: tuple[Position, ...] = ("12H",)
"""What a round of six has more than the usual five."""
AFTER_A_DAY = ("CH", "6H")
REST_RECORDED = ("6H",)
KEPT_WHOLE_DAYS = 365
RESTORED_SHORT_DEG = 8.0
"""An old watch well restored stays about this much below the sheet (our invention)."""
RESTORED_DROP = 22.0
"""Fall of amplitude with the chronograph on after the work, degrees."""


def readings_of(
    script: VisitScript, days: Days, *, calibre: Calibre, random: Random
) -> tuple[Sound, ...]:
    """Return the rounds heard: as it came, and after the work if it went on test."""
    found: tuple[Sound, ...] = ()
    if script.before and days.reached("looked-over") and script.opened:
        day = days.on("looked-over")
        found += heard(script.before, day, calibre=calibre, random=random)
        if script.whole_rounds:
            found += heard(script.before, day, SIXTH, calibre=calibre, random=own_random(script))
        if script.before.chronograph_drop is not None:
            found += (with_chronograph(found, script.before.chronograph_drop),)
    if script.before and script.is_touched and days.reached("on-test"):
        found += after_work(script, days, calibre=calibre, random=random)
    return tuple(replace(each, recorded=is_kept(each, script)) for each in found)


def is_kept(sound: Sound, script: VisitScript) -> bool:
    """Return whether a recording of it is kept: fully wound, of some visits in all positions.

    Those are the visits told at length, and of the few with whole rounds also those after a day. Of
    a composed one the recording in one position is kept, and if it was longer ago than a year only
    the one after the work.
    """
    cleared = not (script.hero or sound.after) and script.ago > KEPT_WHOLE_DAYS
    wanted = script.hero or sound.position in REST_RECORDED
    return wanted and (sound.wound == "full" or script.whole_rounds) and not cleared


def own_random(script: VisitScript) -> Random:
    """Return chance for what whole rounds have more, so that the rest of the season stays."""
    return Random(f"{script.key} whole rounds")


def after_work(
    script: VisitScript, days: Days, *, calibre: Calibre, random: Random
) -> tuple[Sound, ...]:
    """Return the rounds after the work, fully wound; after an overhaul also after a day."""
    going = script.after or restored(script, calibre, random)
    day = days.on("on-test", later=1 if days.reached("ready") else 0)
    full = tuple(
        replace(each, after=True) for each in heard(going, day, calibre=calibre, random=random)
    )
    weaker = tuple(
        a_day_later(each, going, calibre=calibre, random=random)
        for each in full
        if each.position in AFTER_A_DAY and script.is_whole
    )
    drop = going.chronograph_drop or (RESTORED_DROP if calibre.chronograph else None)
    found = (*full, *weaker)
    if script.whole_rounds:
        chance = own_random(script)
        sixth = heard(going, day, SIXTH, calibre=calibre, random=chance)
        more = tuple(replace(each, after=True) for each in sixth)
        rest = [each for each in (*full, *more) if each.position not in AFTER_A_DAY]
        found += more
        found += tuple(a_day_later(each, going, calibre=calibre, random=chance) for each in rest)
    if not drop:
        return found
    running = tuple(with_chronograph(each, drop) for each in (weaker, full) if each)
    return found + (running if script.whole_rounds else running[-1:])


def a_day_later(sound: Sound, going: Going, *, calibre: Calibre, random: Random) -> Sound:
    """Return how the same position is heard 24 hours after full wind."""
    swing = sound.amplitude_deg - calibre.fall_in_a_day_deg
    spot = spot_rate(going, sound.position, swing) - spot_rate(going, sound.position, going.hanging)
    return replace(
        sound,
        wound="24h",
        heard_on=sound.heard_on + timedelta(days=1),
        amplitude_deg=swing,
        rate_s_per_day=round(sound.rate_s_per_day + random.uniform(-3, 1) + spot, 1),
    )


def restored(script: VisitScript, calibre: Calibre, random: Random) -> Going:
    """Return how the watch goes after the work; after a small job only its fault is gone."""
    lying = calibre.lying_deg - random.uniform(0, RESTORED_SHORT_DEG)
    hanging = calibre.hanging_deg - random.uniform(0, RESTORED_SHORT_DEG)
    if script.before and not script.is_whole:
        lying = max(script.before.lying, min(lying, script.before.lying + 16))
        hanging = max(script.before.hanging, min(hanging, script.before.hanging + 14))
    return Going(
        lying=round(lying),
        hanging=round(hanging),
        rate=round(random.uniform(0.5, 6.5), 1),
        beat_error=round(random.uniform(0.05, 0.3), 2),
        jitter_us=12.0,
    )


def heard(
    going: Going,
    day: date,
    positions: tuple[Position, ...] = (*LYING, *HANGING),
    *,
    calibre: Calibre,
    random: Random,
) -> tuple[Sound, ...]:
    """Return one reading in each position, fully wound."""
    return tuple(
        Sound(
            position=position,
            rate_s_per_day=round(going.rate + rate_aside(going, position, random), 1),
            amplitude_deg=amplitude(going, position, random),
            beat_error_ms=round(max(0.0, going.beat_error + random.uniform(-0.05, 0.05)), 2),
            beats_per_hour=calibre.beats_per_hour,
            lift_angle_deg=calibre.lift_angle_deg,
            jitter_us=going.jitter_us,
            wheel_period_s=going.wheel_period_s,
            wheel_delay_ms=going.wheel_delay_ms,
            heard_on=day,
        )
        for position in positions
    )


def rate_aside(going: Going, position: Position, random: Random) -> float:
    """Return how much a position differs in rate: more when hanging, more when out of order.

    With a heavy spot the hanging positions differ by what that makes.
    """
    spread = 2.0 if position in LYING else 4.0 + 2.0 * going.beat_error
    aside = 0.0 if position == "CH" else random.uniform(-spread, spread / 2)
    if going.spot_s_per_day and position in UP_DEG:
        return spot_rate(going, position, going.hanging)
    return aside


def spot_rate(going: Going, position: Position, amplitude_deg: float) -> float:
    """Return what a heavy spot makes in a position at an amplitude, s a day; lying, nothing."""
    if not going.spot_s_per_day or position in LYING:
        return 0.0
    from_down = going.spot_deg - UP_DEG[position] - 180.0
    return going.spot_s_per_day * shows(Measured(amplitude_deg)).value * cos(radians(from_down))


def amplitude(going: Going, position: Position, random: Random) -> float:
    """Return the swing in a position, degrees."""
    base = going.lying if position in LYING else going.hanging
    own = 0.0 if position in ("CH", "6H") else random.uniform(-4, 4)
    less = going.low_by if position == going.low_position else 0.0
    return float(round(base + own - less))


def with_chronograph(sounds: tuple[Sound, ...], drop_deg: float) -> Sound:
    """Return the reading dial up with the chronograph running."""
    first = next(each for each in sounds if each.position == "CH")
    slower = first.rate_s_per_day - 2.0
    return replace(
        first,
        chronograph_on=True,
        amplitude_deg=first.amplitude_deg - drop_deg,
        rate_s_per_day=round(slower, 1),
    )
