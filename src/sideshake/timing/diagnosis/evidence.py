"""The figures of a round that speak for a cause, each against its limit.

Every function returns the figures it could compare; none when the positions needed were not heard.
"""

from dataclasses import dataclass

from sideshake.core.correlated import mean_parts, with_common
from sideshake.core.quantities import Measured
from sideshake.movement.escapement import KNOCKING_DEG, limits_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.timing.positions.harmonic import Harmonic, first_harmonic
from sideshake.timing.positions.summary import (
    HeardRound,
    Position,
    Summary,
    errors_of,
    extreme,
    rates_of,
    summary,
    swings_of,
)
from sideshake.timing.tolerance import ToleranceCheck, chronograph_verdict

RATE, DEGREES, MS = " s a day", "°", " ms"
FAST_S_PER_DAY = 240.0
"""Gain of 10 s an hour, from which magnetism or oil on the coils is suspected (trade-facts
4.3.5-6: tens of seconds an hour)."""
HANGING_24H_DEG = 180.0
"""Least amplitude hanging after 24 h, a factory's limit (trade-facts 3.5.9)."""
LYING_DEG, HANGING_DEG = 270.0, 220.0
"""Below these positional work is not worth starting (trade-facts 3.5.6)."""
BEAT_ERROR_MS = 1.0
"""Above it deserves attention; old pocket watches often have 1 to 3 (trade-facts 3.5.14)."""
DIAL_S_PER_DAY = 6.0
"""Dial up against dial down, railroad grade; 10 for lower grades (trade-facts 3.5.16)."""
DIAL_DEG = 10.0
"""The same in amplitude (common practice, no source)."""
LEAST_FALL_DEG, MOST_FALL_DEG = 10.0, 50.0
"""Fall from lying to hanging: 45 is normal (Kleinlein 1920), 50 a factory's limit (trade-facts
3.5.8-9); below 10, less than pivot friction alone makes (derived, trade-facts 4.9)."""
PINS_S_PER_DAY = 10.0
"""Hanging off lying by 10 to 20: look at the pins first (Kleinlein 1920, trade-facts 4.3.3)."""
NATURAL_S_PER_DAY = 15.0
"""Error of one hanging position that no spiral can be freed of (Kleinlein 1920, 4.2.11)."""
NATURAL_WAVE_S_PER_DAY = 0.75 * NATURAL_S_PER_DAY
"""The same as the size of a wave round the four positions: one of size 1 that points to a position
sets it off the mean of the other three by 4/3 (derived)."""
CHRONOGRAPH_DEG = 40.0
"""Most a chronograph may cost, by one maker's instruction (trade-facts 3.5.10)."""
RUNNING_DEG = 200.0
"""Least amplitude hanging with the chronograph on (trade-facts 10.6, secondary trade page)."""

Proofs = tuple[ToleranceCheck, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundSeen:
    """A round, what it says, and the calibre sheet if there is one."""

    heard: HeardRound
    said: Summary
    sheet: CalibreSheet | None

    def nominal(self, line: str) -> Measured | None:
        """Return a line under "nominal" of the sheet; None when there is none."""
        nominal = self.sheet.nominal if self.sheet else None
        found: Measured | None = getattr(nominal, line) if nominal else None
        return found

    @property
    def sheet_words(self) -> str:
        """Return how the sheet is named as a source."""
        return f"calibre sheet of {self.sheet.name}" if self.sheet else ""


def seen(heard: HeardRound, sheet: CalibreSheet | None = None) -> RoundSeen:
    """Return a round with what it says."""
    return RoundSeen(heard=heard, said=summary(heard), sheet=sheet)


def knocking(seen: RoundSeen) -> Proofs:
    """Return the largest amplitude against where knocking begins."""
    swings = swings_of(seen.heard.latest())
    most = extreme(swings, max)
    if most is None:
        return ()
    return (
        ToleranceCheck(
            what=f"amplitude in {most.position}", value=most.value, unit=DEGREES,
            source="it begins at 330° to nearly 360°, secondary trade pages",
            at_most=KNOCKING_DEG, chances=len(swings),
        ),
    )  # fmt: skip


def fast_everywhere(seen: RoundSeen) -> Proofs:
    """Return the slowest position's rate against a gain that no regulator setting makes."""
    least = extreme(rates_of(seen.heard.latest()), min)
    if least is None:
        return ()
    rate = with_common([(1.0, least.value)], seen.heard.clock_u_s_per_day)
    return (
        ToleranceCheck(
            what=f"least rate, in {least.position},", value=rate, unit=RATE,
            source="tens of seconds an hour, secondary trade pages", at_most=FAST_S_PER_DAY,
        ),
    )  # fmt: skip


def power(seen: RoundSeen) -> Proofs:
    """Return the amplitude against the least for its state of wind."""
    if seen.heard.wound == "24h":
        return least_hanging_after_a_day(seen)
    lying, sheet = seen.said.lying_deg, seen.nominal("lying_24h_deg")
    if lying is None:
        return ()
    limit = sheet or Measured(limits_of(seen.sheet).tolerated_deg)
    source = f"what a sound one shows after 24 h, {seen.sheet_words}"
    return (
        ToleranceCheck(
            what="amplitude lying", value=lying, unit=DEGREES, at_least=limit.value,
            limit_u=limit.u, source=source if sheet else "secondary trade page, for an old watch",
        ),
    )  # fmt: skip


def least_hanging_after_a_day(seen: RoundSeen) -> Proofs:
    """Return the least hanging amplitude after 24 h against its limit."""
    least, sheet = seen.said.least_hanging, seen.nominal("least_hanging_24h_deg")
    if least is None:
        return ()
    limit = sheet or Measured(HANGING_24H_DEG)
    return (
        ToleranceCheck(
            what=f"least amplitude hanging after 24 h, in {least.position},", value=least.value,
            unit=DEGREES, at_least=limit.value, limit_u=limit.u,
            source=seen.sheet_words if sheet else "a factory's limit, secondary trade page",
            chances=sum(each.hanging for each in seen.said.amplitudes_in),
        ),
    )  # fmt: skip


def out_of_beat(seen: RoundSeen) -> Proofs:
    """Return the mean beat error against what deserves attention.

    A reading tells no sign of it, so the mean is of sizes.
    """
    errors = list(errors_of(seen.heard.latest()).values())
    if not errors:
        return ()
    return (
        ToleranceCheck(
            what="beat error, mean of the positions,", unit=MS, at_most=BEAT_ERROR_MS,
            value=with_common(mean_parts(errors), 0.0), source="secondary trade pages",
        ),
    )  # fmt: skip


def dial_up_against_down(seen: RoundSeen) -> Proofs:
    """Return dial up minus dial down, in rate and in amplitude, against the usual limits."""
    said = seen.said
    rate, swing = said.dial_up_minus_down_s_per_day, said.dial_up_minus_down_deg
    proofs = (
        rate and either_way("dial up minus dial down", rate, RATE, DIAL_S_PER_DAY,
                            source="6 for railroad grade, 10 for lower ones, secondary trade page"),
        swing and either_way("dial up minus dial down", swing, DEGREES, DIAL_DEG,
                             source="common practice, no source"),
    )  # fmt: skip
    return tuple(each for each in proofs if each)


def either_way(
    what: str, value: Measured, unit: str, most: float, *, source: str
) -> ToleranceCheck:
    """Return a difference against the most it may be on either side."""
    return ToleranceCheck(
        what=what, value=value, unit=unit, at_least=-most, at_most=most, source=source
    )


def falls_too_little(seen: RoundSeen) -> Proofs:
    """Return the fall from lying to hanging against what pivot friction alone makes."""
    return fall_against(seen, at_least=LEAST_FALL_DEG, source="derived from pivot friction")


def falls_too_much(seen: RoundSeen) -> Proofs:
    """Return the fall from lying to hanging against a factory's limit."""
    source = "a factory's limit, secondary trade page"
    return fall_against(seen, at_most=MOST_FALL_DEG, source=source)


def fall_against(
    seen: RoundSeen, *, at_least: float | None = None, at_most: float | None = None, source: str
) -> Proofs:
    """Return the fall from lying to hanging against a limit, where there is a fall."""
    fall = seen.said.fall_deg
    if fall is None:
        return ()
    return (
        ToleranceCheck(
            what="fall of amplitude from lying to hanging", value=fall, unit=DEGREES,
            at_least=at_least, at_most=at_most, source=source,
        ),
    )  # fmt: skip


def pins(seen: RoundSeen) -> Proofs:
    """Return the rate hanging minus lying against where one looks at the regulator pins."""
    change = seen.said.hanging_minus_lying_s_per_day
    if change is None:
        return ()
    source = "Kleinlein, Rules and Practice for Adjusting Watches (1920)"
    return (either_way("hanging minus lying", change, RATE, PINS_S_PER_DAY, source=source),)


def odd_one(seen: RoundSeen) -> tuple[Position, Measured] | None:
    """Return the hanging position furthest off the mean of the others, and how far."""
    rates = {p: rate for p, rate in rates_of(seen.heard.latest()).items() if p.hanging}
    if len(rates) < 3:
        return None
    off = {}
    for position, rate in rates.items():
        others = [each for p, each in rates.items() if p is not position]
        off[position] = with_common([(1.0, rate), *mean_parts(others, -1.0)], 0.0)
    furthest = max(off, key=lambda each: abs(off[each].value))
    return furthest, off[furthest]


def turning(seen: RoundSeen) -> Harmonic | None:
    """Return the part of the hanging rates that turns with the watch, from three positions on."""
    rates = {p: rate for p, rate in rates_of(seen.heard.latest()).items() if p.hanging}
    return first_harmonic(rates) if len(rates) >= 3 else None


def poise(seen: RoundSeen) -> Proofs:
    """Return what turns with the watch, and the odd hanging position, against what is natural.

    The first finds a heavy spot wherever it points, also between two positions; the second what is
    off in one position alone. At least three must be heard.
    """
    odd, wave = odd_one(seen), turning(seen)
    if odd is None or wave is None:
        return ()
    position, off = odd
    source = "12 to 15 are natural, Kleinlein, Rules and Practice for Adjusting Watches (1920)"
    return (
        ToleranceCheck(
            what="the rate's turning with the watch, about its mean hanging,", unit=RATE,
            value=wave.size_s_per_day, at_most=NATURAL_WAVE_S_PER_DAY, source=source,
        ),
        ToleranceCheck(
            what=f"{position} minus the mean of the other hanging positions", value=off, unit=RATE,
            at_least=-NATURAL_S_PER_DAY, at_most=NATURAL_S_PER_DAY, source=source,
            chances=sum(each.hanging for each in seen.said.rates_in),
        ),
    )  # fmt: skip


def chronograph(seen: RoundSeen) -> Proofs:
    """Return what the chronograph costs, and what it leaves hanging, against their limits."""
    cost, limit = seen.said.chronograph_cost_deg, seen.nominal("chronograph_drop_deg")
    proofs = []
    if cost is not None:
        source = seen.sheet_words if limit else "one maker's instruction, secondary trade page"
        proofs.append(chronograph_verdict(cost, limit or Measured(CHRONOGRAPH_DEG), source=source))
    running = {
        p: swing for p, swing in swings_of(seen.heard.latest(chronograph_on=True)).items()
        if p.hanging
    }  # fmt: skip
    least = extreme(running, min)
    if least is not None:
        proofs.append(
            ToleranceCheck(
                what=f"amplitude with the chronograph on, in {least.position},", unit=DEGREES,
                value=least.value, at_least=RUNNING_DEG, source="secondary trade page",
                chances=len(running),
            )
        )  # fmt: skip
    return tuple(proofs)


def worth_starting(seen: RoundSeen) -> Proofs:
    """Return the amplitudes that positional work wants before it is started, fully wound."""
    wanted = (("lying", seen.said.lying_deg, LYING_DEG), ("hanging", seen.said.hanging_deg,
              HANGING_DEG))  # fmt: skip
    if seen.heard.wound == "24h":
        return ()
    return tuple(
        ToleranceCheck(
            what=f"amplitude {how}", value=value, unit=DEGREES, at_least=least,
            source="secondary trade page, vintage watches",
        )
        for how, value, least in wanted
        if value is not None
    )  # fmt: skip
