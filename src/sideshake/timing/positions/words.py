"""What a round says, in sentences: lying against hanging, spread, swing, beat, chronograph."""

from collections.abc import Iterable

from sideshake.core.quantities import Measured
from sideshake.timing.positions.summary import Position, Summary


def headline(said: Summary) -> str:
    """Return a round in one sentence; empty when neither a rate nor an amplitude was heard.

    Examples
    --------
    >>> from sideshake.timing.positions.summary import HeardRound, InPosition, summary
    >>> one = InPosition(position=Position.CH, rate_s_per_day=Measured(6.2, 0.2),
    ...     amplitude_deg=Measured(271, 1.5), beat_error_ms=None)
    >>> headline(summary(HeardRound(readings=(one,), clock_u_s_per_day=0.0)))
    'Mean rate +6.2 ± 0.4 s a day in 1 position; it swings 271 ± 3° lying.'
    """
    mean, spread, count = said.mean_s_per_day, said.spread, len(said.rates_in)
    rate = ""
    if mean is not None:
        places = "1 position" if count == 1 else f"{count} positions"
        rate = f"mean rate {mean.text(sign=True)} s a day in {places}"
    if spread is not None:
        rate += f", spread {spread.value.text()}"
    swings = both(degrees(said.lying_deg, "lying"), degrees(said.hanging_deg, "hanging"))
    return sentence("; ".join(joined([rate, swings and f"it swings {swings}"])))


def say_round(said: Summary) -> tuple[str, ...]:
    """Return all that a round says, a sentence for each thing; of what was not heard, nothing."""
    return joined(
        [say_means(said), say_difference(said), say_spread(said), say_swing(said), say_beat(said),
         say_chronograph(said)]
    )  # fmt: skip


def say_means(said: Summary) -> str:
    """Return the mean rates lying and hanging, and over which positions they are."""
    return sentence(
        both(
            mean_in(said.lying_s_per_day, "lying", (p for p in said.rates_in if p.lying)),
            mean_in(said.hanging_s_per_day, "hanging", (p for p in said.rates_in if p.hanging)),
        )
    )


def mean_in(mean: Measured | None, how: str, positions: Iterable[Position]) -> str:
    """Return a mean rate with its positions."""
    where = ", ".join(positions)
    return f"{how} {mean.text(sign=True)} s a day ({where})" if mean is not None else ""


def say_difference(said: Summary) -> str:
    """Return hanging minus lying with the meaning of its sign."""
    change = said.hanging_minus_lying_s_per_day
    if change is None:
        return ""
    if change.holds(0.0):
        means = "as far as can be told it goes alike both ways"
    else:
        means = "it gains by hanging" if change.value > 0 else "it loses by hanging"
    return f"Hanging minus lying {change.text(sign=True)} s a day: {means}."


def say_spread(said: Summary) -> str:
    """Return the largest minus the smallest rate, and where these are."""
    spread = said.spread
    if spread is None:
        return ""
    return (
        f"Spread {spread.value.text()} s a day: fastest in {spread.largest}, slowest in "
        f"{spread.smallest}."
    )


def say_swing(said: Summary) -> str:
    """Return how far it swings lying and hanging, the fall, and the least hanging."""
    swings = both(degrees(said.lying_deg, "lying"), degrees(said.hanging_deg, "hanging"))
    if not swings:
        return ""
    least, fall = said.least_hanging, said.fall_deg
    words = f"It swings {swings}"
    if fall is not None:
        words += f", a fall of {fall.text(sign=fall.value < 0)}°"
    if least is not None:
        words += f"; least hanging in {least.position}, {least.value.text()}°"
    return f"{words}."


def say_beat(said: Summary) -> str:
    """Return the largest beat error and where it is."""
    largest = said.largest_beat_error
    if largest is None:
        return ""
    return f"Beat error at most {largest.value.text()} ms, in {largest.position}."


def say_chronograph(said: Summary) -> str:
    """Return what the running chronograph costs in amplitude and does to the rate."""
    cost, change = said.chronograph_cost_deg, said.chronograph_change_s_per_day
    where = ", ".join(said.chronograph_in)
    takes = ""
    if cost is not None and cost.holds(0.0):
        takes = f"the running chronograph takes no amplitude that can be told ({cost.text()}°"
    elif cost is not None:
        takes = f"the running chronograph takes {cost.text()}° of the amplitude (off minus on"
    rate = ""
    if change is not None:
        rate = f"the rate with it running minus without is {change.text(sign=True)} s a day"
    return sentence("; ".join(joined([takes and f"{takes}; {where})", rate])))


def degrees(value: Measured | None, how: str) -> str:
    """Return a mean amplitude and how the watch lay."""
    return f"{value.text()}° {how}" if value is not None else ""


def both(first: str, second: str) -> str:
    """Return two parts of a sentence, or the one that is there."""
    return " and ".join(joined([first, second]))


def joined(parts: list[str]) -> tuple[str, ...]:
    """Return the parts that say something."""
    return tuple(part for part in parts if part)


def sentence(words: str) -> str:
    """Return words as a sentence; nothing stays nothing."""
    return f"{words[0].upper()}{words[1:]}." if words else ""
