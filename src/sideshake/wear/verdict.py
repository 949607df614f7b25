"""Leave, watch, bush, jewel or replace: what the measured wear asks for, and how sure that is."""

from dataclasses import dataclass
from enum import StrEnum

from sideshake.errors import InputError
from sideshake.wear.amplitude import Drive, Gain, repair_gain
from sideshake.wear.barrel import Barrel, with_bearings
from sideshake.wear.bearing import (
    SUSPECT_RATIO,
    Bearing,
    normal_play,
    probability_worn,
    repaired,
    side_shake,
)
from sideshake.wear.rubbing import DRAWS, Doubt, Rubbing, chance_words, danger, rubbing
from sideshake.wear.stance import Stance
from sideshake.wear.tilt import worst_stance

OPTION_DRAWS = 20_000
"""Enough to tell a repair that serves from one that does not: 0.0015 at 5 %."""
UNLIKELY = 0.05
EVEN = 0.5
LEAST_JEWEL_RING_MM = 0.25
LEAST_BUSH_RING_MM = 0.12
"""Least wall of a jewel, of a bush, round its hole (common practice, no source)."""
CUT_BEYOND_MM = 0.02
"""A new seat must reach this far beyond the long axis on each side, so no old hole is left."""


class Action(StrEnum):
    """What to do."""

    LEAVE = "leave"
    WATCH = "watch"
    BUSH = "bush"
    JEWEL_BELOW = "jewel below"
    JEWEL_ABOVE = "jewel above"
    JEWEL_BOTH = "jewel both"
    REPLACE = "replace"


class Place(StrEnum):
    """Which of the arbor's bearings."""

    BELOW = "below"
    ABOVE = "above"


BOTH = (Place.BELOW, Place.ABOVE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """A repair, and what is left of the danger after it."""

    places: tuple[Place, ...]
    rubs_after: float
    still_worn: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What the verdict rests on; `running` is None when the pull's direction is not known."""

    barrel: Barrel
    running: Stance | None = None
    drive: Drive | None = None
    metal_only: bool = False
    draws: int = DRAWS


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What to do, why, how sure, which measurement to repeat, and what it may bring."""

    action: Action
    places: tuple[Place, ...]
    sentence: str
    free: Rubbing
    running: Rubbing | None
    worn_below: float
    worn_above: float
    options: tuple[Option, ...]
    doubt: Doubt | None
    gain: Gain | None
    below: Bearing
    above: Bearing

    @property
    def probability(self) -> float:
        """Return the probability of rubbing when the barrel leans as far as it can."""
        return self.free.probability


def verdict(case: Case) -> Verdict:
    """Return the verdict on a barrel's bearings.

    The measure is the bench test of the trade: press on the rim; if it reaches plate, bridge or
    neighbour, the side shake is not acceptable. A hole beyond twice its normal play is worn whether
    it rubs or not. The smallest repair that leaves no worn hole, and rubbing unlikely (below 5 %),
    is chosen.
    """
    free = worst_rubbing(case.barrel, None, case.draws)
    running = worst_rubbing(case.barrel, case.running, case.draws) if case.running else None
    options = tuple(option(case, places) for places in ((), (Place.BELOW,), (Place.ABOVE,), BOTH))
    action, places = choose(case, free.probability, options)
    return Verdict(
        action=action,
        places=places,
        sentence=verdict_sentence(case, action, places, free=free, options=options),
        free=free,
        running=running,
        worn_below=probability_worn(case.barrel.arbor.lower),
        worn_above=probability_worn(case.barrel.arbor.upper),
        options=options,
        doubt=free.doubts[0] if free.doubts else None,
        gain=expected_gain(case.drive, free, running),
        below=case.barrel.arbor.lower,
        above=case.barrel.arbor.upper,
    )


def expected_gain(drive: Drive | None, free: Rubbing, running: Rubbing | None) -> Gain | None:
    """Return what the repair may bring in amplitude; None without the drive's figures."""
    if drive is None:
        return None
    rubs_running = running.probability if running else 0.0
    return repair_gain(drive, rubs_running=rubs_running, rubs_free=free.probability)


def worst_rubbing(barrel: Barrel, stance: Stance | None, draws: int) -> Rubbing:
    """Return the rubbing on the part most in danger; free to lean when no stance is given.

    Raises
    ------
    InputError : the barrel has no gap to judge
    """
    if not barrel.gaps:
        raise InputError("no gap between the barrel and another part is given: nothing to judge")
    stances = [(gap, stance or worst_stance(barrel, gap)) for gap in barrel.gaps]
    gap, worst = max(stances, key=lambda each: danger(barrel, each[1], each[0]))
    return rubbing(barrel, worst, gap, draws=draws)


def option(case: Case, places: tuple[Place, ...]) -> Option:
    """Return what repairing these places leaves of the danger."""
    arbor = case.barrel.arbor
    lower = repaired(arbor.lower) if Place.BELOW in places else arbor.lower
    upper = repaired(arbor.upper) if Place.ABOVE in places else arbor.upper
    left_alone = [
        probability_worn(bearing_at(case.barrel, place)) for place in BOTH if place not in places
    ]
    after = with_bearings(case.barrel, lower=lower, upper=upper)
    return Option(
        places=places,
        rubs_after=worst_rubbing(after, None, OPTION_DRAWS).probability,
        still_worn=max(left_alone, default=0.0),
    )


def bearing_at(barrel: Barrel, place: Place) -> Bearing:
    """Return the arbor's bearing at a place."""
    return barrel.arbor.lower if place is Place.BELOW else barrel.arbor.upper


def choose(
    case: Case, rubs: float, options: tuple[Option, ...]
) -> tuple[Action, tuple[Place, ...]]:
    """Return the action and the places it concerns."""
    worn = options[0].still_worn
    if rubs < UNLIKELY and worn < UNLIKELY:
        suspect = max(
            probability_worn(bearing_at(case.barrel, each), SUSPECT_RATIO) for each in BOTH
        )
        return (Action.WATCH if suspect > EVEN else Action.LEAVE, ())
    if rubs < EVEN and worn < EVEN:
        return (Action.WATCH, ())
    both = options[-1]
    if both.rubs_after >= EVEN:
        return (Action.REPLACE, BOTH)
    best = next(each for each in by_size(options) if serves(each, both))
    return (how(case, best.places), best.places)


def by_size(options: tuple[Option, ...]) -> list[Option]:
    """Return the repairs, one hole before two, and the more useful hole first."""
    return sorted(
        options[1:], key=lambda each: (len(each.places), each.still_worn, each.rubs_after)
    )


def serves(repair: Option, both: Option) -> bool:
    """Return whether a repair leaves no worn hole, and rubbing unlikely or as rare as both would.

    The doubt of the measured gap stays after any repair, so "as rare as with both" must suffice.
    """
    return repair.still_worn < EVEN and repair.rubs_after <= max(
        UNLIKELY, both.rubs_after + UNLIKELY
    )


def how(case: Case, places: tuple[Place, ...]) -> Action:
    """Return jewel, bush or replace, by the metal around each hole and the owner's wish."""
    bearings = [bearing_at(case.barrel, place) for place in places]
    if not all(takes_ring(each, LEAST_BUSH_RING_MM) for each in bearings):
        return Action.REPLACE
    if case.metal_only or not all(takes_ring(each, LEAST_JEWEL_RING_MM) for each in bearings):
        return Action.BUSH
    if places == BOTH:
        return Action.JEWEL_BOTH
    return Action.JEWEL_BELOW if places == (Place.BELOW,) else Action.JEWEL_ABOVE


def takes_ring(bearing: Bearing, ring_mm: float) -> bool:
    """Return whether the metal has room for a seat that clears the old hole and a ring's wall."""
    if bearing.room_mm is None:
        return True
    around_hole = bearing.pivot_mm.value + normal_play(bearing).high_mm + 2 * ring_mm
    beyond_wear = bearing.hole.long_mm.value + 2 * CUT_BEYOND_MM
    return bearing.room_mm >= max(around_hole, beyond_wear)


def verdict_sentence(
    case: Case,
    action: Action,
    places: tuple[Place, ...],
    *,
    free: Rubbing,
    options: tuple[Option, ...],
) -> str:
    """Return the verdict and its reason in one or two plain sentences."""
    danger = (
        f"leaning as far as it can, the barrel reaches the {free.gap.name} with a probability of "
        f"{chance_words(free.probability)} (gap left {free.left_mm.text()} mm)"
    )
    if action is Action.LEAVE:
        return f"Leave it: {danger}, and no hole is worn beyond twice its normal play."
    if action is Action.WATCH:
        repeat = f" Measure the {free.doubts[0].name} again." if free.doubts else ""
        return f"Watch it: {danger}; {shakes(case.barrel)}.{repeat}"
    if action is Action.REPLACE:
        after = options[-1].rubs_after
        why = (
            f"New holes alone do not serve (with both, still {chance_words(after)})"
            if after >= EVEN
            else "A new hole would serve, but the metal has no room for its seat"
        )
        return f"Replace: {danger}. {why}: look at the barrel's own holes, the arbor and the part."
    where = " and ".join(places)
    after = next(each.rubs_after for each in options if each.places == places)
    return (
        f"{'Bush' if action is Action.BUSH else 'Jewel'} {where}: {danger}; {shakes(case.barrel)}. "
        f"After it the probability is {chance_words(after)}."
    )


def shakes(barrel: Barrel) -> str:
    """Return both side shakes with what is normal, in words."""
    return ", ".join(shake_words(bearing_at(barrel, place), place) for place in BOTH)


def shake_words(bearing: Bearing, place: Place) -> str:
    """Return one side shake with what is normal, and how likely it is worn, in words."""
    shake, worn = side_shake(bearing), probability_worn(bearing)
    beyond = f"; worn beyond twice that: {chance_words(worn)}" if worn >= UNLIKELY else ""
    normal = normal_play(bearing)
    return f"side shake {place} {shake.text()} mm (normal to {normal.high_mm:.3f}{beyond})"
