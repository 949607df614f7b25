"""A round's four hanging positions, from which a heavy spot can be told."""

from sideshake.core.errors import NotEnough
from sideshake.timing.poise.heavy_spot import Hanging, HangingRate
from sideshake.timing.positions.summary import HANGING, HeardRound, InPosition, Position


def hanging_of(heard: HeardRound) -> Hanging:
    """Return rate and amplitude in the four hanging positions, chronograph off.

    Raises
    ------
    NotEnough : not all four were heard with a rate and an amplitude; which are missing is said
    InputError : an amplitude at which no watch runs
    """
    rates = {
        position: rate
        for position, each in heard.latest().items()
        if (rate := hanging_rate(each)) is not None
    }
    missing = [position for position in HANGING if position not in rates]
    if missing:
        raise NotEnough(
            "a heavy spot is told from all four hanging positions, each with rate and amplitude; "
            f"not heard: {', '.join(missing)}"
        )
    return Hanging(
        up_3=rates[Position.H3],
        up_6=rates[Position.H6],
        up_9=rates[Position.H9],
        up_12=rates[Position.H12],
    )


def hanging_rate(each: InPosition) -> HangingRate | None:
    """Return rate and amplitude of a hanging position; None unless both were heard."""
    rate, swing = each.rate_s_per_day, each.amplitude_deg
    if each.position.lying or rate is None or swing is None:
        return None
    return HangingRate(rate_s_per_day=rate, amplitude_deg=swing)
