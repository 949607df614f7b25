"""The way to the new hole: reamers, press depth, order of work, centre, cautions (millimetres)."""

import math
from dataclasses import dataclass
from enum import StrEnum

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured, propagate
from sideshake.fit.jewel import INTERFERENCE_MM, Part
from sideshake.fit.materials import RUBY
from sideshake.fit.shape import ENTERS_FIRST

SAFE_STEP_MM = 0.1
"""A reamer opens a hole by a tenth at a time, the last by less (from memory)."""
SIZE_MATCH_MM = 0.0025
"""A reamer is "the" size if it is within this of it."""
FLUSH_MM = (0.0, 0.02)
"""A jewel sits flush to 0.02 mm below the inner surface (from memory)."""


class ToolingCaution(StrEnum):
    """What can hurt the worker or the watch."""

    EYES = "Wear eye protection: chips of ruby and swarf fly."
    SWARF = "Hold the swarf back from train and setting work; peg out every hole and wash the part."
    RUBY = "A jewel pressed askew chips: stop at the first resistance and start it square again."
    PRACTICE = "Try the reamer, the stop and the jewel on a practice plate of the same metal first."
    POWER = "Let the mainspring down, under control, before the bridge comes off."
    OWNER = "A jewel where there was none changes the watch: agree it with the owner and note it."
    RULES = "Information only: follow the safety sheets and the rules where you work."


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One pass of a reamer: its size and how much it opens the hole."""

    reamer_mm: float
    opens_mm: float

    @property
    def is_large(self) -> bool:
        """Return whether it opens more than a tenth: bore first, or go very lightly."""
        return self.opens_mm > SAFE_STEP_MM + 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """How to fit a part: the cuts, the press depth, the order of work and the cautions."""

    cuts: tuple[Cut, ...]
    depth_mm: Measured | None
    steps: tuple[str, ...]
    cautions: tuple[ToolingCaution, ...]


def reamer_sequence(
    reamers_mm: tuple[float, ...],
    *,
    start_mm: float,
    outside_mm: float,
    under_mm: float = INTERFERENCE_MM,
) -> tuple[Cut, ...]:
    """Return the reamers to use in turn, the last `under_mm` under the part's outside diameter.

    Each is the largest in the list that opens the hole by a tenth at most; where the list has a gap
    the next size is taken and the cut is marked as large.

    Parameters
    ----------
    reamers_mm : what the workshop has
    start_mm : the hole's largest diameter now
    under_mm : how much smaller than the part the last reamer is, above 0

    Raises
    ------
    NotEnough : the list lacks the last reamer; the nearest it has is named
    InputError : the hole is already larger than the last reamer
    """
    last = outside_mm - under_mm
    if under_mm <= 0:
        raise InputError(
            f"the last reamer must be under the part's size, got {under_mm:g} mm under"
        )
    if start_mm > last + SIZE_MATCH_MM:
        raise InputError(
            f"the hole {start_mm:g} mm is already larger than the last reamer {last:g} mm "
            f"for a part of {outside_mm:g} mm"
        )
    last = last_reamer(reamers_mm, last)
    between = sorted({each for each in reamers_mm if start_mm < each < last} | {last})
    return cuts_through(between, start_mm)


def sizes_in_tenths(
    *, start_mm: float, outside_mm: float, under_mm: float = INTERFERENCE_MM
) -> tuple[float, ...]:
    """Return the reamers wanted where there is every size: tenths, down from the last.

    Examples
    --------
    >>> sizes_in_tenths(start_mm=1.012, outside_mm=1.50)
    (1.09, 1.19, 1.29, 1.39, 1.49)
    """
    last = outside_mm - under_mm
    count = max(1, math.ceil((last - start_mm) / SAFE_STEP_MM - 1e-9))
    return tuple(round(last - SAFE_STEP_MM * step, 3) for step in reversed(range(count)))


def last_reamer(reamers_mm: tuple[float, ...], wanted_mm: float) -> float:
    """Return the workshop's reamer of the wanted size.

    Raises
    ------
    NotEnough : there is none; the nearest is named
    """
    if not reamers_mm:
        raise NotEnough("the workshop's list of reamers is empty")
    nearest = min(reamers_mm, key=lambda each: abs(each - wanted_mm))
    if abs(nearest - wanted_mm) > SIZE_MATCH_MM:
        raise NotEnough(
            f"no reamer of {wanted_mm:.3f} mm in the workshop's list; the nearest is {nearest:g} mm"
        )
    return nearest


def cuts_through(sizes_mm: list[float], start_mm: float) -> tuple[Cut, ...]:
    """Return as few cuts as a tenth at a time allows, through rising sizes to the last."""
    cuts: list[Cut] = []
    now = start_mm
    while now < sizes_mm[-1]:
        ahead = [each for each in sizes_mm if each > now]
        within = [each for each in ahead if each - now <= SAFE_STEP_MM + 1e-9]
        size = within[-1] if within else ahead[0]
        cuts.append(Cut(reamer_mm=size, opens_mm=size - now))
        now = size
    return tuple(cuts)


def press_depth(old_depth_mm: Measured, endshake_mm: Measured, wanted_mm: Measured) -> Measured:
    """Return how deep to press: the old face's depth, and deeper by the endshake that is missing.

    Depths are measured from the inner surface of plate or bridge, positive into it.

    Examples
    --------
    >>> press_depth(Measured(0.010), Measured(0.050), Measured(0.030)).value
    -0.01
    """
    depth = propagate(
        lambda old, now, wanted: old + (wanted - now), old_depth_mm, endshake_mm, wanted_mm
    )
    return Measured(round(depth.value, 9), depth.u)


def depth_words(depth: Measured) -> str:
    """Return where the face ends up, and a warning if that is not flush to 0.02 mm below."""
    low, high = FLUSH_MM
    place = (
        f"{abs(depth.value):.3f} mm {'below' if depth.value >= 0 else 'above'} the inner surface"
    )
    if low - 1e-9 <= depth.value <= high + 1e-9:
        return place
    return f"{place}: not flush, so set the endshake at the other bearing or the shoulder instead"


def centre_words(*, ovality_mm: float, passes_through: bool) -> str:
    """Return how to keep the centre when the old hole is worn.

    Parameters
    ----------
    ovality_mm : long axis minus short axis of the old hole
    passes_through : whether the arbor passes right through, so that no sink is left to guide
    """
    if ovality_mm <= 0:
        return (
            "The old hole measures round: it may guide the first reamer. Measured one way only, "
            "measure it crosswise first."
        )
    shift = (
        f"The old hole is oval by {ovality_mm:.3f} mm: its middle has moved by up to "
        f"{ovality_mm / 2:.3f} mm, and a reamer guided by it would follow the wear. "
    )
    guide = (
        "Hold the part true on the lathe's face plate, centre it with a wobble stick on the unworn "
        "hole opposite, and bore before reaming."
        if passes_through
        else "Guide by the untouched part of the sink or counterbore, or centre on the unworn hole "
        "opposite, and bore before reaming."
    )
    return shift + guide


def plan(
    part: Part, cuts: tuple[Cut, ...], *, centre: str, depth_mm: Measured | None = None
) -> Plan:
    """Return the whole way from the worn hole to the new one."""
    cautions = (
        ToolingCaution.POWER,
        ToolingCaution.EYES,
        ToolingCaution.PRACTICE,
        ToolingCaution.SWARF,
        *((ToolingCaution.RUBY, ToolingCaution.OWNER) if part.material == RUBY else ()),
        ToolingCaution.RULES,
    )
    return Plan(
        cuts=cuts,
        depth_mm=depth_mm,
        steps=steps(part, cuts, centre=centre, depth_mm=depth_mm),
        cautions=cautions,
    )


def ream_words(cuts: tuple[Cut, ...]) -> str:
    """Return which reamers to use; without the workshop's list, only how to go about it."""
    if not cuts:
        return "in steps of a tenth at most, the last under the part's diameter (no reamers listed)"
    passes = (f"{cut.reamer_mm:.2f}{' (large cut: bore it first)' * cut.is_large}" for cut in cuts)
    return f"{', '.join(passes)} mm"


TRUE_THE_PIVOT = "True up the pivot first: polish or burnish it, then measure it again."
"""The step that changes the size a part is ordered to."""


def steps(
    part: Part, cuts: tuple[Cut, ...], *, centre: str, depth_mm: Measured | None
) -> tuple[str, ...]:
    """Return the order of work in plain sentences."""
    depth = depth_words(depth_mm) if depth_mm else "flush with the inner surface"
    finish = (
        "Check the play with the pivot; a jewel is not opened by hand."
        if part.material == RUBY
        else f"Open the bush, which pressing has closed, to {part.hole_mm:.3f} mm and burnish it."
    )
    return (
        "Let the power down; measure and note the old depth and the endshake; take the part off.",
        TRUE_THE_PIVOT,
        centre,
        f"Ream upright, lightly, with cutting fluid: {ream_words(cuts)}.",
        "Take the burr off, chamfer the entry side very slightly, wash.",
        f"Press the part in from the inner side, {ENTERS_FIRST}, against the stop: {depth}.",
        finish,
        "Fit the arbor alone, then the barrel: try endshake, side shake and the rim with pegwood.",
    )
