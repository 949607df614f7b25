"""What nobody measured: what would have to be true for the barrel to rub, and what to measure.

All of it rests on joint draws of the sizes and of the gap that is left, so it holds for whatever
mechanics lie between the two. Millimetres.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.barrel import Barrel, Gap, measured_values, with_bearings
from sideshake.wear.barrel_size import BarrelSize, SizeSource
from sideshake.wear.bearing import WORN_RATIO, Bearing, normal_play, probability_worn, repaired
from sideshake.wear.draws import drawn_values
from sideshake.wear.instruments import PEGWOOD, Instrument, instruments_for
from sideshake.wear.settle import CLOSE_ENOUGH
from sideshake.wear.tilt import gap_left, standing, worst_stance
from sideshake.wear.worth import Costs, sample_value

DRAWS = 20_000
"""Enough for a value to some per cent, measured in the tests against the closed form."""
SEED = 20_240_302
NARROWER = 0.7
"""An instrument that does not better what is known by this factor is not proposed."""
STEPS = 400
KEPT = 4
"""Joint draws that are kept: one verdict asks for the same ones again and again."""
MORE = 4
"""So many more draws are made where those that agree with a pressed rim are picked from them."""
LEAST_KEPT = 25
"""Fewer draws that agree, weighed, are a contradiction."""
SEEN_MM = 0.003
"""Whether parts touch is seen better than a gap is measured: by a glint, by what a film moves
(common practice, no source)."""
LIKELY = (0.005, 0.995)
"""A size alone is tried within 99 of 100 draws."""
LOWER, UPPER, OWN = "lower ", "upper ", "barrel's own "
REPAIRS = tuple(
    tuple(end for end, wanted in zip((LOWER, UPPER, OWN), each, strict=True) if wanted)
    for each in product((False, True), repeat=3)
)
"""What can be done: nothing, or new holes for the arbor below, above, for the barrel on its arbor,
or for several of these; each names the values it makes anew."""
TRIED = ("plate", "bridge")
HOLES = {LOWER: 1, UPPER: 1, OWN: 2}

Draws = Mapping[str, NDArray[np.float64]]
Left = Mapping[str, NDArray[np.float64]]
"""What is left of each gap in each draw, by the part's name (mm)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """What it is worth to measure a size with an instrument, in minutes of work saved."""

    size: BarrelSize
    instrument: Instrument
    value_min: float

    @property
    def per_minute(self) -> float:
        """Return the minutes saved for each minute of measuring."""
        return self.value_min / self.instrument.minutes

    @property
    def pays(self) -> bool:
        """Return whether it saves more time than it takes."""
        return self.value_min > self.instrument.minutes


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """The barrel rubs if this size lies beyond the limit, the rest being as is most likely.

    `low_mm` and `high_mm` hold the limit in 95 of 100 draws of the rest; they are known for gaps.
    """

    size: BarrelSize
    below: bool
    limit_mm: float
    low_mm: float | None = None
    high_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """What would have to be true, what to measure (most value for a minute first), at what cost.

    `sound_left_mm` is the least gap that would be left if everything nobody measured were as new.
    """

    worth: tuple[Worth, ...]
    conditions: tuple[Condition, ...]
    sound_left_mm: float
    costs: Costs

    @property
    def best(self) -> Worth | None:
        """Return the measurement with the most value for a minute, if one pays."""
        return next((each for each in self.worth if each.pays), None)


def outlook(barrel: Barrel, costs: Costs, draws: int = DRAWS) -> Outlook:
    """Return what would have to be true for a barrel to rub, and which measurement decides most."""
    values = joint(barrel, draws)
    left = left_at(barrel, values)
    return Outlook(
        worth=worth(barrel, values, left, costs),
        conditions=conditions(barrel, values, left),
        sound_left_mm=sound_left(barrel, values),
        costs=costs,
    )


@lru_cache(maxsize=KEPT)
def joint(barrel: Barrel, size: int, seed: int = SEED) -> Draws:
    """Return joint draws of all sizes that the gaps left rest on.

    Where a gap was tried with the rim pressed, only draws that agree with what was left are kept
    (importance resampling, by Bayes' rule).

    Raises
    ------
    InputError : what was left contradicts the sizes
    """
    named = {
        name: each for gap in barrel.gaps or (None,) for name, each in measured_values(barrel, gap)
    }
    random = np.random.default_rng(seed)
    pressed = [gap for gap in barrel.gaps if gap.pressed_mm]
    if not pressed:
        return drawn_values(named, barrel.known, size, random)
    values = drawn_values(named, barrel.known, MORE * size, random)
    left = left_at(barrel, values)
    weights = np.prod([agreement(gap, left[gap.name]) for gap in pressed], axis=0)
    if weights.sum() ** 2 < LEAST_KEPT * (weights**2).sum() or not weights.any():
        told = " and ".join(
            f"{gap.pressed_mm.text()} mm to the {gap.name}" for gap in pressed if gap.pressed_mm
        )
        raise InputError(f"{told} left with the rim pressed contradict the other sizes: try again")
    spots = (np.arange(size) + 0.5) / size * weights.sum()
    kept = np.minimum(np.searchsorted(np.cumsum(weights), spots), weights.size - 1)
    return {name: np.broadcast_to(each, weights.shape)[kept] for name, each in values.items()}


def agreement(gap: Gap, left_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how well what was left with the rim pressed agrees with each draw, 0 to 1."""
    assert gap.pressed_mm is not None
    open_mm = np.maximum(left_mm, 0.0)
    touches = gap.pressed_mm.value == 0
    off = (gap.pressed_mm.value - open_mm) / (SEEN_MM if touches else gap.pressed_mm.u)
    return np.asarray(np.exp(-0.5 * off**2))


def left_at(barrel: Barrel, values: Draws) -> Left:
    """Return what is left of each gap when the barrel leans towards it as far as it can."""
    stances = {gap: worst_stance(barrel, gap) for gap in barrel.gaps}
    stands = {
        each: standing(barrel, each, values, close=CLOSE_ENOUGH) for each in set(stances.values())
    }
    return {
        gap.name: np.asarray(gap_left(gap, stands[stance], values))
        for gap, stance in stances.items()
    }


def least_left(barrel: Barrel, values: Draws) -> NDArray[np.float64]:
    """Return the least that is left of any gap; below 0 the barrel rubs."""
    return np.asarray(np.min(list(left_at(barrel, values).values()), axis=0))


def losses(barrel: Barrel, values: Draws, costs: Costs) -> NDArray[np.float64]:
    """Return what each of the `REPAIRS` loses in each draw, shape (8, draws), in minutes."""
    return np.array(
        [
            costs.needless_min * sum(HOLES[end] for end in ends)
            + costs.returns_min * (left_after(barrel, values, ends) < 0)
            for ends in REPAIRS
        ]
    )


def left_after(barrel: Barrel, values: Draws, ends: tuple[str, ...]) -> NDArray[np.float64]:
    """Return the least gap left after new holes at these ends, the rest of the draws as before."""
    if not ends:
        return least_left(barrel, values)
    after = mended(barrel, ends)
    fresh = joint(after, len(values["span"]), seed=SEED + 1)
    new = {
        name: each
        for name, each in fresh.items()
        if name.startswith(ends) and not name.endswith("span")
    }
    return least_left(after, {**values, **new})


def mended(barrel: Barrel, ends: tuple[str, ...]) -> Barrel:
    """Return the barrel with new holes at these ends."""
    arbor, own = barrel.arbor, barrel.inner
    after = with_bearings(
        barrel,
        lower=repaired(arbor.lower) if LOWER in ends else arbor.lower,
        upper=repaired(arbor.upper) if UPPER in ends else arbor.upper,
    )
    if own is None or OWN not in ends:
        return after
    inner = replace(own, lower=repaired(own.lower), upper=repaired(own.upper))
    known = tuple(each for each in after.known if not each.name.startswith(OWN))
    return replace(after, inner=inner, known=known)


def worth(barrel: Barrel, values: Draws, left: Left, costs: Costs) -> tuple[Worth, ...]:
    """Return what each measurement is worth, the most value for a minute first."""
    lost = losses(barrel, values, costs)
    found = [
        Worth(
            size=size,
            instrument=each,
            value_min=sample_value(lost, values[size.name], each.u_mm),
        )
        for size in barrel.known
        if size.name in values
        for each in instruments_for(size.name)
        if each.u_mm < NARROWER * size.value.u
    ]
    found += [
        Worth(size=size, instrument=PEGWOOD, value_min=sample_value(lost, seen, PEGWOOD.u_mm))
        for size, seen in pressed_sizes(barrel, left)
    ]
    return tuple(sorted(found, key=lambda one: -one.per_minute))


def pressed_sizes(barrel: Barrel, left: Left) -> list[tuple[BarrelSize, NDArray[np.float64]]]:
    """Return the gaps left with the rim pressed that nobody tried, and what would be seen of them.

    Only plate and bridge are tried; below 0 is seen as 0.
    """
    made = []
    for gap in barrel.gaps:
        if gap.pressed_mm or gap.name not in TRIED:
            continue
        seen = np.maximum(left[gap.name], 0.0)
        words = f"gap left to the {gap.name}, rim pressed"
        known = Measured(float(seen.mean()), float(seen.std()))
        name = f"left at the {gap.name}"
        made.append(
            (BarrelSize(name=name, words=words, source=SizeSource.ASSUMED, new=known), seen)
        )
    return made


def rubs_after(barrel: Barrel, ends: tuple[str, ...], draws: int) -> float:
    """Return the probability that it rubs after new holes, from the joint draws."""
    return float(np.mean(left_after(barrel, joint(barrel, draws), ends) < 0))


def conditions(barrel: Barrel, values: Draws, left: Left) -> tuple[Condition, ...]:
    """Return for each size nobody measured from where on the barrel rubs, where it can.

    Of a gap the limit is what the lean needs in each draw; of another size it is found with the
    rest at its middle.
    """
    gaps = {f"gap to the {name}": each for name, each in left.items()}
    found = [
        gap_condition(each, values[each.name] - gaps[each.name])
        if each.name in gaps
        else condition(barrel, each, values)
        for each in barrel.known
        if is_open(each) and each.name in values
    ]
    return tuple(each for each in found if each)


def is_open(size: BarrelSize) -> bool:
    """Return whether nobody measured a size that can be measured."""
    return size.source is not SizeSource.MEASURED and bool(instruments_for(size.name))


def gap_condition(size: BarrelSize, needed_mm: NDArray[np.float64]) -> Condition:
    """Return below which gap the barrel rubs, from what it needs in each draw."""
    low, middle, high = np.quantile(needed_mm, [0.025, 0.5, 0.975])
    return Condition(
        size=size, below=True, limit_mm=float(middle), low_mm=float(low), high_mm=float(high)
    )


def condition(barrel: Barrel, size: BarrelSize, values: Draws) -> Condition | None:
    """Return from which size on the barrel rubs, the rest at its middle; None if at none likely."""
    drawn = values[size.name]
    least, most = (float(np.quantile(drawn, each)) for each in LIKELY)
    tried = np.linspace(least, most, STEPS)
    middle = {name: np.full(STEPS, np.median(each)) for name, each in values.items()}
    middle[size.name] = tried
    if size.name.startswith("endshake of"):
        others = middle["endshake"][0] - np.median(drawn)
        middle["endshake"] = tried + others
    rubs = least_left(barrel, middle) < 0
    if rubs.all() or not rubs.any():
        return None
    below = bool(rubs[0])
    turn = int(np.argmax(~rubs)) if below else int(np.argmax(rubs))
    return Condition(size=size, below=below, limit_mm=float(tried[turn - 1 : turn + 1].mean()))


def sound_left(barrel: Barrel, values: Draws) -> float:
    """Return the least gap left if everything nobody measured were as new (mm)."""
    new = {name: np.array([np.median(each)]) for name, each in values.items()}
    new |= {each.name: np.array([each.new.value]) for each in barrel.known if each.name in values}
    parts = [
        new[each.name]
        for each in barrel.known
        if each.name.startswith("endshake of") and each.name in new
    ]
    if parts:
        new["endshake"] = np.sum(parts, axis=0)
    return float(least_left(barrel, new)[0])


def chance_worn(barrel: Barrel, end: str, bearing: Bearing, ratio: float = WORN_RATIO) -> float:
    """Return the probability that a bearing's play exceeds `ratio` times its normal largest one.

    Of a bearing that was measured it is that of the normal distribution; else it is drawn, because
    unmeasured wear is one-sided.
    """
    if not any(each.wear_mm for each in barrel.known if each.name.startswith(end)):
        return probability_worn(bearing, ratio)
    return float(np.mean(plays(barrel, end) > ratio * normal_play(bearing).high_mm))


def plays(barrel: Barrel, end: str) -> NDArray[np.float64]:
    """Return draws of the play at one end."""
    values = joint(barrel, DRAWS)
    return values[f"{end}hole"] - values[f"{end}pivot"]
