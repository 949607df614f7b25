"""What a counted wheel and a measured pivot mean, in sentences."""

import math

from sideshake.core.quantities import Measured
from sideshake.photo.lengths import scaled
from sideshake.photo.pivot import Pivot
from sideshake.photo.tooth import Tooth, ToothState
from sideshake.photo.wheel import CountedWheel
from sideshake.wording import noop

SAID = {
    ToothState.MISSING: "missing",
    ToothState.BROKEN: "broken off",
    ToothState.WORN: "worn thin",
    ToothState.BENT: "bent",
    ToothState.COVERED: "covered by oil or dirt: clean and look again",
}
"""Worst first."""
OUTLINE_ONLY = (
    "A photograph shows the outline only: a tooth worn in its height or cracked is not seen."
)
BURNT_OUT = "The ground is burnt out, which eats into the edges: expose less, and the ± shrinks."
SILHOUETTE = "One silhouette shows one side: turn the pivot by a quarter and measure again."


def wheel_sentences(found: CountedWheel, expected: int | None) -> list[str]:
    """Return what the photograph says of a wheel, and whether that is what the sheet says."""
    sentences = [count_sentence(found)]
    if expected is not None:
        sentences.append(expected_sentence(found, expected))
    sentences += [state_sentence(found, state) for state in SAID if found.those(state)]
    if all(tooth.state is ToothState.WHOLE for tooth in found.each):
        sentences.append("No tooth is missing, broken, worn thin or bent.")
    return [*sentences, tip_sentence(found)]


def count_sentence(found: CountedWheel) -> str:
    """Return how many teeth the wheel was cut with."""
    there = found.teeth - len(found.those(ToothState.MISSING))
    left = "" if there == found.teeth else f", {there} of them left"
    return f"The wheel has {found.teeth} teeth{left}."


def expected_sentence(found: CountedWheel, expected: int) -> str:
    """Return whether the number is the expected one."""
    if found.teeth == expected:
        return f"That is the number expected ({expected})."
    if 2 * found.teeth == expected:
        return (
            f"Expected are {expected}, twice as many: either every second tooth is gone, or it is "
            "another wheel."
        )
    return f"Expected are {expected}: this is not that wheel, or the sheet is wrong."


def state_sentence(found: CountedWheel, state: ToothState) -> str:
    """Return which teeth are in a state."""
    numbers = found.those(state)
    teeth, verb = ("Tooth", "is") if len(numbers) == 1 else ("Teeth", "are")
    return f"{teeth} {listed(numbers)} {verb} {SAID[state]}."


def listed(numbers: tuple[int, ...]) -> str:
    """Return numbers as they are read aloud.

    >>> listed((3,)), listed((3, 4, 9))
    ('3', '3, 4 and 9')
    """
    *first, last = map(str, numbers)
    return f"{', '.join(first)} and {last}" if first else last


def tip_sentence(found: CountedWheel) -> str:
    """Return the diameter over the tips."""
    if found.tip_mm is None:
        return f"Over the tips it measures {found.tip_px.text()} pixels; no scale was given."
    return f"Over the tips it measures {found.tip_mm.text()} mm."


def tooth_word(tooth: Tooth) -> str:
    """Return the state of a tooth in a table."""
    return (
        f"{tooth.state}, dirty" if tooth.dirty and tooth.state is ToothState.WHOLE else tooth.state
    )


THICK = noop("The pivot is {size} {unit} thick.")
PIVOT_KEPT = (THICK,)
"""What is kept with a size that was measured in a photograph."""


def pivot_sentences(found: Pivot) -> list[str]:
    """Return what the photograph says of a pivot."""
    size, unit = sized(found, found.diameter_px)
    return [
        THICK.format(size=size.text(), unit=unit),
        straight_sentence(found),
        taper_sentence(found),
    ]


def pivot_notes(found: Pivot) -> list[str]:
    """Return what must be said beside a pivot's figures."""
    return [BURNT_OUT, SILHOUETTE] if found.burnt else [SILHOUETTE]


def sized(found: Pivot, length_px: Measured) -> tuple[Measured, str]:
    """Return a length in mm if there is a scale, else in pixels."""
    length_mm = scaled(length_px, found.mm_per_px)
    return (length_px, "pixels") if length_mm is None else (length_mm, "mm")


def straight_sentence(found: Pivot) -> str:
    """Return whether the pivot is straight, and its sides are."""
    bow, unit = sized(found, found.bow_px)
    if found.bent:
        return f"It is bent: its middle line runs out by {bow.text()} {unit} to either side."
    rough, unit = sized(found, found.rough_px)
    if found.grooved:
        return f"It is straight, but a side runs out by {rough.text()} {unit}: a groove or a ridge."
    return "It is straight, and so are its sides, as far as the photograph shows."


def taper_sentence(found: Pivot) -> str:
    """Return whether the pivot tapers."""
    percent = Measured(100 * abs(found.taper.value), 100 * found.taper.u)
    if percent.value <= percent.expanded:
        most = percent.value + percent.expanded
        return f"It does not taper by more than {most:.1g} % of its length."
    toward = (0.0 if found.taper.value > 0 else math.pi) + math.radians(found.axis_deg)
    return f"It grows thicker towards {clock_word(toward)}, by {percent.text()} % of its length."


def clock_word(angle_rad: float) -> str:
    """Return where an angle (counter-clockwise from 3 o'clock) points in the photograph.

    >>> clock_word(0.0), clock_word(math.pi / 2)
    ("3 o'clock", "12 o'clock")
    """
    hour = round(3 - 6 * angle_rad / math.pi) % 12
    return f"{hour or 12} o'clock"
