"""A heavy spot said in sentences: where it is, what to see to first, where to take weight."""

from sideshake.core.quantities import Measured
from sideshake.timing.poise.heavy_spot import Poise, blind_deg
from sideshake.timing.positions.summary import Position

NATURAL_S_PER_DAY = 15.0
"""A spiral cannot be perfectly poised: 12 to 15 s a day remain even in fine watches (trade-facts
4.2.11, Kleinlein 1920)."""
CHECK_FIRST = (
    "Clean, pivots straight and polished, no magnetism, balance true in the flat and in the round.",
    "Spring flat and centred, free between the pins, its coils touching nothing.",
    "Dial up and dial down agree within about 6 s a day; if not, look at pivot ends and cap jewels "
    "before anything else.",
    "Screws and timing washers all seated; nothing loose or sticking to the rim.",
)
"""What comes before poising by rates (trade-facts 4.2.13 and 3.5.16, common practice)."""
CAUTIONS = (
    "Take weight in tiny steps and read all four positions again after each: what is taken cannot "
    "be put back. Stop at half of what the figures say.",
    "Taking weight makes the watch gain in every position; bring the rate back afterwards.",
    "12 to 15 s a day between hanging positions are the spring's own and cannot be poised away.",
)


def say_poise(poise: Poise) -> str:
    """Return size and direction in words, from both sides.

    Examples
    --------
    >>> print(say_poise(Poise(size_s_per_day=Measured(19.0, 1.0), dial_deg=Measured(90.0, 3.0),
    ...     amplitude_deg=Measured(270.0))))
    A heavy spot makes 19.0 ± 2.0 s a day, hanging at 270°. With the balance at rest it points,
    seen from the dial side, 90 ± 6° clockwise from 12 o'clock (about 3 o'clock); seen from the
    back with 12 o'clock up, 270 ± 6° clockwise from the top. In 9H (crown down) it hangs
    straight down.
    """
    return (
        f"A heavy spot makes {poise.size_s_per_day.text()} s a day, hanging at "
        f"{poise.amplitude_deg.value:.0f}°. With the balance at rest it points, seen from the dial "
        f"side, {poise.dial_deg.text()}° clockwise from 12 o'clock "
        f"(about {hour(poise.dial_deg.value)} o'clock); seen from the back with 12 o'clock up, "
        f"{poise.back_deg.text()}° clockwise from the top. {say_lowest(poise)}"
    )


def named(position: str) -> str:
    """Return a position with its words.

    >>> named("9H")
    '9H (crown down)'
    """
    return f"{position} ({Position(position).words})"


def hour(dial_deg: float) -> int:
    """Return the hour nearest to a clock direction."""
    return (round(dial_deg / 30) - 1) % 12 + 1


def say_lowest(poise: Poise) -> str:
    """Return in which position the spot hangs lowest, and how far from straight down."""
    position = poise.lowest_in
    aside = poise.from_down_deg(position)
    if abs(aside) <= max(poise.dial_deg.expanded, 1.0):
        return f"In {named(position)} it hangs straight down."
    # Clockwise from straight down, seen from the dial side, is to the left.
    side = "left" if aside > 0 else "right"
    other = "right" if aside > 0 else "left"
    return (
        f"In {named(position)} it hangs {abs(aside):.0f}° from straight down, to the "
        f"{side} seen from the dial side, to the {other} from the back."
    )


def where_to_take_weight(poise: Poise) -> tuple[str, ...]:
    """Return what to do at the bench, one sentence each."""
    low, high = blind_deg()
    said = [
        f"Bring the balance to rest and hold the watch as in {named(poise.lowest_in)}: "
        "take weight at the spot named, on the rim or under the screw there, or lay a washer under "
        "the screw opposite, which can be undone.",
        f"Prove it before you cut: read the four positions again on the other side of 220° (below "
        f"{low:.0f}° or above {high:.0f}°). A real heavy spot turns its sign round.",
    ]
    if poise.size_s_per_day.value - poise.size_s_per_day.expanded <= NATURAL_S_PER_DAY:
        said.append(
            "So small an error may be the spring's own (12 to 15 s a day); leave the balance as it "
            "is unless the proof at the other amplitude is clear."
        )
    return tuple(said)


def say_unbalance(unbalance_ug_cm: Measured, *, at_mm: float = 5.0) -> str:
    """Return the unbalance, and what weight it is at a distance from the staff.

    Examples
    --------
    >>> say_unbalance(Measured(24.0, 1.0))
    'The unbalance is 24.0 ± 2.0 µg·cm: 48 ± 4 µg at 5 mm from the staff.'
    """
    there = Measured(unbalance_ug_cm.value / at_mm * 10, unbalance_ug_cm.u / at_mm * 10)
    return (
        f"The unbalance is {unbalance_ug_cm.text()} µg·cm: {there.text()} µg at {at_mm:g} mm from "
        "the staff."
    )
