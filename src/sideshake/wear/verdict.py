"""Leave, watch, bush, jewel, replace, or measure first: what the wear asks for, and how sure."""

from dataclasses import dataclass
from enum import StrEnum

from sideshake.wear.amplitude import Drive, Gain, repair_gain
from sideshake.wear.arbor_pose import ArborPose
from sideshake.wear.barrel import Barrel, with_bearings
from sideshake.wear.barrel_size import SizeSource, unmeasured
from sideshake.wear.bearing import (
    SUSPECT_RATIO,
    WORN_RATIO,
    Bearing,
    normal_play,
    repaired,
    side_shake,
)
from sideshake.wear.draws import DRAWS
from sideshake.wear.measure_first import measure_sentence, to_measure, tried_sentence
from sideshake.wear.outlook import LOWER, TRIED, UPPER, Outlook, chance_worn, outlook, rubs_after
from sideshake.wear.rubbing import Rubbing, ValueShare, chance_words
from sideshake.wear.worst import OPTION_DRAWS, worst_rubbing
from sideshake.wear.worth import USUAL_COSTS, Costs

KINDEST_DRAWS = 5_000
"""Of the kindest stance, which is only told as the other end of a range: 0.007 at one half."""
UNLIKELY = 0.05
EVEN = 0.5
LEAST_JEWEL_RING_MM = 0.25
LEAST_BUSH_RING_MM = 0.12
"""Least wall of a jewel, of a bush, round its hole (common practice, no source)."""
CUT_BEYOND_MM = 0.02
"""A new seat must reach this far beyond the long axis on each side, so no old hole is left."""


class Action(StrEnum):
    """What to do."""

    MEASURE = "measure"
    LEAVE = "leave"
    WATCH = "watch"
    BUSH = "bush"
    JEWEL_BELOW = "jewel below"
    JEWEL_ABOVE = "jewel above"
    JEWEL_BOTH = "jewel both"
    REPLACE = "replace"


class BearingPlace(StrEnum):
    """Which of the arbor's bearings."""

    BELOW = "below"
    ABOVE = "above"


BOTH = (BearingPlace.BELOW, BearingPlace.ABOVE)
END = {BearingPlace.BELOW: LOWER, BearingPlace.ABOVE: UPPER}
SIDES = {BearingPlace.BELOW: "in the plate", BearingPlace.ABOVE: "in the bridge"}


@dataclass(frozen=True, slots=True, kw_only=True)
class WearOption:
    """A repair, and what is left of the danger after it."""

    places: tuple[BearingPlace, ...]
    rubs_after: float
    still_worn: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What the verdict rests on: the barrel, and how it stands under way and while it is wound.

    A stance is the worst that what is not known allows, its kindest the best; None where loads are
    not reckoned. `costs` weigh what a measurement is worth, not the verdict.
    """

    barrel: Barrel
    running: ArborPose | None = None
    running_kindest: ArborPose | None = None
    winding: ArborPose | None = None
    winding_kindest: ArborPose | None = None
    drive: Drive | None = None
    metal_only: bool = False
    draws: int = DRAWS
    costs: Costs = USUAL_COSTS


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What to do, why, how sure, which measurement to repeat, and what it may bring.

    The rubbing under way and while winding is that on the part most in danger, at the worst that
    what is not known allows; the kindest tells how much better it may be. `outlook` is what nobody
    measured: from where on it rubs, and what to measure; None where all was measured.
    """

    action: Action
    places: tuple[BearingPlace, ...]
    sentence: str
    free: Rubbing
    running: Rubbing | None
    running_kindest: Rubbing | None
    winding: Rubbing | None
    winding_kindest: Rubbing | None
    worn_below: float
    worn_above: float
    options: tuple[WearOption, ...]
    doubt: ValueShare | None
    gain: Gain | None
    below: Bearing
    above: Bearing
    unmeasured: frozenset[BearingPlace] = frozenset()
    outlook: Outlook | None = None

    @property
    def probability(self) -> float:
        """Return the probability of rubbing when the barrel leans as far as it can."""
        return self.free.probability


def verdict(case: Case) -> Verdict:
    """Return the verdict on a barrel's bearings.

    The measure is the bench test of the trade: press on the rim; if it reaches plate, bridge or
    neighbour, the side shake is not acceptable. A hole beyond twice its normal play is worn whether
    it rubs or not. The smallest repair that leaves no worn hole, and rubbing unlikely (below 5 %),
    is chosen. Where what nobody measured would decide, there is no verdict but what to measure.
    """
    free = worst_rubbing(case.barrel, None, case.draws)
    running, kindest = under(case, case.running, case.running_kindest)
    winding, winding_kindest = under(case, case.winding, case.winding_kindest)
    options = tuple(
        option(case, places) for places in ((), (BearingPlace.BELOW,), (BearingPlace.ABOVE,), BOTH)
    )
    action, places = choose(case, free.probability, options)
    ahead = None
    if unmeasured(case.barrel.known):
        ahead = outlook(case.barrel, case.costs, min(case.draws, OPTION_DRAWS))
    sentence = verdict_sentence(case, action, places, free=free, options=options)
    if not places and is_free_as_tried(case.barrel, free):
        action, sentence = Action.LEAVE, tried_sentence(free)
    elif ahead and is_open(case.barrel, action, places, ahead):
        action, places = Action.MEASURE, ()
        sentence = f"{measure_sentence(case.barrel, free, ahead)}{worn_words(case.barrel)}"
    return Verdict(
        action=action,
        places=places,
        sentence=sentence,
        free=free,
        running=running,
        running_kindest=kindest,
        winding=winding,
        winding_kindest=winding_kindest,
        worn_below=worn_at(case.barrel, BearingPlace.BELOW),
        worn_above=worn_at(case.barrel, BearingPlace.ABOVE),
        options=options,
        doubt=free.doubts[0] if free.doubts else None,
        below=case.barrel.arbor.lower,
        above=case.barrel.arbor.upper,
        unmeasured=frozenset(each for each in BOTH if is_unmeasured(case.barrel, each)),
        gain=expected_gain(case.drive, free, kindest),
        outlook=ahead,
    )


def is_open(
    barrel: Barrel,
    action: Action,
    places: tuple[BearingPlace, ...],
    ahead: Outlook,
) -> bool:
    """Return whether what nobody measured would decide, so that there can be no verdict.

    A hole is neither left nor cut that nobody measured. No gap is trusted that is only assumed.
    Nothing is done by halves, and nothing cut, while a measurement that pays may still change it,
    unless a measured hole is worn by itself.
    """
    missing = unmeasured(barrel.known)
    if any(f"{END[each]}hole" in missing for each in places or BOTH):
        return True
    gaps = [missing.get(f"gap to the {gap.name}") for gap in barrel.gaps]
    if not places and SizeSource.ASSUMED in gaps:
        return True
    if action is Action.LEAVE:
        return False
    worn = any(worn_at(barrel, each) >= EVEN for each in places)
    best = ahead.best
    return not worn and best is not None and best.size.source is not SizeSource.MEASURED


def is_free_as_tried(barrel: Barrel, free: Rubbing) -> bool:
    """Return whether pressing the rim both ways shows it free, where a hole was not measured.

    A measured hole that may be worn is judged by its measure, whatever the rim does.
    """
    missing = unmeasured(barrel.known)
    open_places = [each for each in BOTH if f"{END[each]}hole" in missing]
    tried = {gap.name for gap in barrel.gaps if gap.pressed_mm}
    return (
        bool(open_places)
        and tried >= set(TRIED)
        and free.probability < UNLIKELY
        and all(worn_at(barrel, each) < UNLIKELY for each in BOTH if each not in open_places)
    )


def worn_at(barrel: Barrel, place: BearingPlace, ratio: float = WORN_RATIO) -> float:
    """Return the probability that a hole of the arbor is worn beyond `ratio` times normal."""
    return chance_worn(barrel, END[place], bearing_at(barrel, place), ratio)


def is_unmeasured(barrel: Barrel, place: BearingPlace) -> bool:
    """Return whether hole or pivot of a place was not measured on this watch."""
    end = END[place]
    return not {f"{end}hole", f"{end}pivot"}.isdisjoint(unmeasured(barrel.known))


def under(
    case: Case, worst: ArborPose | None, kindest: ArborPose | None
) -> tuple[Rubbing | None, Rubbing | None]:
    """Return the rubbing under loads, in the worst stance and in the kindest; None without any."""
    if worst is None:
        return (None, None)
    found = worst_rubbing(case.barrel, worst, case.draws)
    if kindest is None or kindest == worst:
        return (found, found)
    return (found, worst_rubbing(case.barrel, kindest, min(case.draws, KINDEST_DRAWS)))


def expected_gain(drive: Drive | None, free: Rubbing, kindest: Rubbing | None) -> Gain | None:
    """Return what the repair may bring in amplitude; None without the drive's figures.

    What rubs for certain must rub in the kindest of the stances that may be.
    """
    if drive is None:
        return None
    rubs_running = kindest.probability if kindest else 0.0
    return repair_gain(drive, rubs_running=rubs_running, rubs_free=free.probability)


def option(case: Case, places: tuple[BearingPlace, ...]) -> WearOption:
    """Return what repairing these places leaves of the danger."""
    arbor = case.barrel.arbor
    lower = repaired(arbor.lower) if BearingPlace.BELOW in places else arbor.lower
    upper = repaired(arbor.upper) if BearingPlace.ABOVE in places else arbor.upper
    left_alone = [worn_at(case.barrel, place) for place in BOTH if place not in places]
    draws = min(case.draws, OPTION_DRAWS)
    if any(gap.pressed_mm for gap in case.barrel.gaps):
        rubs = rubs_after(case.barrel, tuple(END[each] for each in places), draws)
    else:
        after = with_bearings(case.barrel, lower=lower, upper=upper)
        rubs = worst_rubbing(after, None, draws).probability
    return WearOption(
        places=places,
        rubs_after=rubs,
        still_worn=max(left_alone, default=0.0),
    )


def bearing_at(barrel: Barrel, place: BearingPlace) -> Bearing:
    """Return the arbor's bearing at a place."""
    return barrel.arbor.lower if place is BearingPlace.BELOW else barrel.arbor.upper


def choose(
    case: Case, rubs: float, options: tuple[WearOption, ...]
) -> tuple[Action, tuple[BearingPlace, ...]]:
    """Return the action and the places it concerns."""
    suspect = max(worn_at(case.barrel, each, SUSPECT_RATIO) for each in BOTH)
    spared = left_or_watched(max(rubs, options[0].still_worn), suspect)
    if spared:
        return (spared, ())
    both = options[-1]
    if both.rubs_after >= EVEN:
        return (Action.REPLACE, BOTH)
    best = next(each for each in by_size(options) if serves(each, both))
    return (how(case, best.places), best.places)


def left_or_watched(danger: float, suspect: float) -> Action | None:
    """Return whether to leave or watch what may be worn; None where it asks for a repair.

    Parameters
    ----------
    danger : the probability that it is worn beyond its limit, or rubs
    suspect : that it is worn beyond `SUSPECT_RATIO` times its normal play
    """
    if danger < UNLIKELY:
        return Action.WATCH if suspect > EVEN else Action.LEAVE
    return Action.WATCH if danger < EVEN else None


def by_size(options: tuple[WearOption, ...]) -> list[WearOption]:
    """Return the repairs, one hole before two, and the more useful hole first."""
    return sorted(
        options[1:], key=lambda each: (len(each.places), each.still_worn, each.rubs_after)
    )


def serves(repair: WearOption, both: WearOption) -> bool:
    """Return whether a repair leaves no worn hole, and rubbing unlikely or as rare as both would.

    The doubt of the measured gap stays after any repair, so "as rare as with both" must suffice.
    """
    return repair.still_worn < EVEN and repair.rubs_after <= max(
        UNLIKELY, both.rubs_after + UNLIKELY
    )


def how(case: Case, places: tuple[BearingPlace, ...]) -> Action:
    """Return jewel, bush or replace, by the metal around each hole and the owner's wish."""
    bearings = [bearing_at(case.barrel, place) for place in places]
    if not all(takes_ring(each, LEAST_BUSH_RING_MM) for each in bearings):
        return Action.REPLACE
    if case.metal_only or not all(takes_ring(each, LEAST_JEWEL_RING_MM) for each in bearings):
        return Action.BUSH
    if places == BOTH:
        return Action.JEWEL_BOTH
    return Action.JEWEL_BELOW if places == (BearingPlace.BELOW,) else Action.JEWEL_ABOVE


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
    places: tuple[BearingPlace, ...],
    *,
    free: Rubbing,
    options: tuple[WearOption, ...],
) -> str:
    """Return the verdict and its reason in one or two plain sentences."""
    danger = (
        f"at its greatest lean the barrel reaches the {free.gap.name} with a probability of "
        f"{chance_words(free.probability)} (gap left {free.left_mm.text()} mm)"
    )
    if action is Action.LEAVE:
        return f"Leave it: {danger}, and no hole is worn beyond twice its normal play."
    if action is Action.WATCH:
        repeat = f" {to_measure(case.barrel, free.doubts[0].name)}." if free.doubts else ""
        return f"Watch it: {danger}; {shakes(case.barrel)}.{repeat}"
    if action is Action.REPLACE:
        after = options[-1].rubs_after
        why = (
            f"New holes alone do not serve (with both, still {chance_words(after)})"
            if after >= EVEN
            else "A new hole would serve, but the metal has no room for its seat"
        )
        return f"Replace: {danger}. {why}: look at the barrel's own holes, the arbor and the part."
    where = " and ".join(SIDES[each] for each in places)
    part = "bush" if action is Action.BUSH else "jewel"
    after = next(each.rubs_after for each in options if each.places == places)
    return (
        f"Fit a {part} {where}: {danger}; {shakes(case.barrel)}. "
        f"After it the probability is {chance_words(after)}."
    )


def worn_words(barrel: Barrel) -> str:
    """Return what stands whatever else will be measured: measured holes that are worn."""
    missing = unmeasured(barrel.known)
    worn = [
        shake_words(barrel, each)
        for each in BOTH
        if f"{END[each]}hole" not in missing and worn_at(barrel, each) >= EVEN
    ]
    return f" What stands already: {', '.join(worn)}." if worn else ""


def shakes(barrel: Barrel) -> str:
    """Return both side shakes with what is normal, in words."""
    return ", ".join(shake_words(barrel, place) for place in BOTH)


def shake_words(barrel: Barrel, place: BearingPlace) -> str:
    """Return one side shake with what is normal, and how likely it is worn, in words."""
    bearing = bearing_at(barrel, place)
    shake, worn = side_shake(bearing), worn_at(barrel, place)
    beyond = f"; worn beyond twice that: {chance_words(worn)}" if worn >= UNLIKELY else ""
    normal = normal_play(bearing)
    return f"side shake {place} {shake.text()} mm (normal to {normal.high_mm:.3f}{beyond})"
