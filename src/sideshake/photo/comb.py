"""The number of teeth: laid in equal slots, one number alone makes the outline alike in each."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sideshake.photo.blob import Values
from sideshake.photo.spread import spread
from sideshake.photo.unrolled import UnrolledRing, harmonics

FEWEST = 5
SAMPLES = 64
"""In a slot."""
STRONGEST = 10
"""So many lines of the spectrum are tried, and the half and the third of each."""
LEAST_PITCH = 10
"""Samples of the outline in a pitch: about 6 pixels."""
CENTRE_PRIOR = 0.006
"""Of the teeth's places, radians: what the roots leave open of centre and tilt (standard)."""
WHOLE, EMPTY = 0.22, 0.25
"""A tooth is like the others if its area differs by less; a slot is empty below so much of it."""
LIKENESS = 0.92
MOST_ODD = 0.25
LEAST_WHOLE = 0.4
HOPELESS = 0.75
LEAST_FREE_U = 0.05
STRAY = 0.25
EMPTY_WEIGHT = 0.1
RUN_OUT_HELD = 0.3
"""Against 1 for each tooth: holds what only half a turn of teeth would tell."""
AS_GOOD = 0.05
"""A number explains the outline as well as the best if its misfit is higher by less than this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comb:
    """An outline in equal slots, a tooth in the middle of each.

    Parameters
    ----------
    teeth : how many slots there are
    places : shape (teeth,), radians, the middle of each slot
    slots : shape (teeth, 64), height of the outline over each slot
    template : shape (64,), a whole tooth
    whole, empty : shape (teeth,), which slots hold a tooth like the others, or none
    free : the number of teeth that the pitch alone tells, not told that it must be whole
    free_u : its standard uncertainty
    """

    teeth: int
    places: Values
    slots: Values
    template: Values
    whole: NDArray[np.bool_]
    empty: NDArray[np.bool_]
    free: float
    free_u: float

    @property
    def odd(self) -> float:
        """Return which share of the slots is neither whole nor empty."""
        return odd_share(self.whole, self.empty)

    @property
    def several(self) -> bool:
        """Return whether the tooth is itself a row of teeth: a part of the number was tried."""
        power = np.abs(np.fft.rfft(self.template)[1:]) ** 2
        return bool(power[1:].max() > power[0])

    def mostly_every(self, *steps: int) -> bool:
        """Return whether nearly all teeth stand in every second (third, ...) slot.

        Then the number is a multiple of the right one, or the wheel has lost all but those.
        """
        for step in steps:
            if self.teeth % step == 0:
                there = self.whole.reshape(-1, step).sum(axis=0)
                if there.sum() - there.max() < STRAY * there.max() * (step - 1):
                    return True
        return False

    @property
    def misfit(self) -> float:
        """Return what is left for each tooth if each slot holds a tooth or none; 0 is best."""
        power = float(self.template @ self.template)
        left = np.minimum(
            ((self.slots - self.template) ** 2).sum(axis=1), (self.slots**2).sum(axis=1)
        )
        return float(np.minimum(left / power, 1).sum() / max(self.whole.sum(), 1))

    @property
    def probability(self) -> float:
        """Return how likely the turn closes with this number and no other, the pitch being even."""
        u = max(math.hypot(3 * self.free_u, LEAST_FREE_U), 1e-3)
        near = np.arange(-2, 3) + self.teeth
        weights = np.exp(-0.5 * ((near - self.free) / u) ** 2)
        return float(weights[2] / weights.sum()) if weights.sum() > 0 else 0.0

    @property
    def fits(self) -> bool:
        """Return whether the slots are alike enough for this number to stand."""
        return (
            self.odd <= MOST_ODD
            and self.whole.sum() >= max(LEAST_WHOLE * self.teeth, FEWEST)
            and not self.several
            and abs(self.free - self.teeth) < max(0.3, 3 * self.free_u)
        )


def combs(ring: UnrolledRing) -> list[Comb]:
    """Return the numbers of teeth by which the outline is even, the fewest first.

    References
    ----------
    Epoch folding: Leahy et al. (1983), ApJ 266, 160-170, with a median for the profile
    """
    found = (comb_of(ring, number) for number in candidates(bounded(ring)))
    return [each for each in found if each is not None and each.fits]


def run_out(ring: UnrolledRing, found: Comb) -> Values:
    """Return how the radii of whole teeth and of empty places run out round the turn.

    Returns
    -------
    shape (5,), the terms 1, cos, sin, cos 2, sin 2 in pixels, outwards
    """
    offs = (found.slots - found.template)[found.whole].mean(axis=1)
    bare = np.median(found.slots[found.empty], axis=1) - found.template.min()
    places = np.concatenate([found.places[found.whole], found.places[found.empty]])
    weights = np.concatenate([np.ones(len(offs)), np.full(len(bare), EMPTY_WEIGHT)])
    values = np.concatenate([offs, bare])
    columns = harmonics(places)
    for _ in range(5):
        normal = (columns * weights[:, None]).T @ columns + np.diag([0, *[RUN_OUT_HELD] * 4])
        terms = np.linalg.solve(normal, (columns * weights[:, None]).T @ values)
        left = np.abs(values - columns @ terms)
        usual = max(float(np.median(left)), 1e-3)
        weights = weights * 0.5 + 0.5 * np.where(left < 4 * usual, weights, weights * 0.1)
    return -terms if ring.inside else terms


def settled(found: list[Comb]) -> Comb | None:
    """Return the one number that stands, or none where two do that do not divide each other.

    A multiple of the right number explains the outline as well, with slots that hold nothing; so
    the smallest of those that are as good as the best is taken.
    """
    if not found:
        return None
    best = min(each.misfit for each in found)
    good = [each for each in found if each.misfit <= best + AS_GOOD]
    first = good[0]
    if not all(each.teeth % first.teeth == 0 for each in good) or first.mostly_every(2, 3):
        return None
    return first


def candidates(height: Values) -> list[int]:
    """Return the numbers of teeth worth trying, rising."""
    power = np.abs(np.fft.rfft(height - height.mean())) ** 2
    most = min(len(height) // LEAST_PITCH, len(power) - 1)
    strongest = np.argsort(power[FEWEST : most + 1])[::-1][:STRONGEST] + FEWEST
    parts = {int(number) for number in strongest}
    parts |= {int(number) // part for number in strongest for part in (2, 3) if number % part == 0}
    return sorted(number for number in parts if number >= FEWEST)


def bounded(ring: UnrolledRing) -> Values:
    """Return the outline, cut off where specks rise above the teeth."""
    return np.clip(ring.height, 0, np.quantile(ring.height, 0.97))


def comb_of(ring: UnrolledRing, teeth: int) -> Comb | None:
    """Return the outline in so many slots, or none if no slot holds a tooth."""
    phase = np.angle(np.fft.rfft(bounded(ring))[teeth])
    numbers = np.arange(teeth)
    places = (2 * np.pi * numbers - phase) / teeth
    bends = np.zeros(5)
    free, free_u = float(teeth), 1.0
    for number in range(4):
        slots = slots_at(ring, places + harmonics(places) @ bends, teeth)
        template, kept = profile_of(slots)
        if template is None or kept.sum() < FEWEST or (number == 1 and hopeless(slots, template)):
            return None
        shift = shifts(slots, template)[kept] * 2 * np.pi / teeth
        change, slope, slope_u = bent_places(places[kept], shift, bends)
        bends = bends + change
        free, free_u = teeth * (1 - slope), teeth * slope_u
    middle = places + harmonics(places) @ bends
    slots = slots_at(ring, middle, teeth)
    template, _ = profile_of(slots)
    if template is None:
        return None
    whole, empty = judged(slots, template)
    return Comb(
        teeth=teeth,
        places=middle % (2 * np.pi),
        slots=slots,
        template=template,
        whole=whole,
        empty=empty,
        free=free,
        free_u=free_u,
    )


def slots_at(ring: UnrolledRing, places: Values, teeth: int, *, haze: bool = False) -> Values:
    """Return the outline over the slots, or its haze."""
    u = (np.arange(SAMPLES) + 0.5) / SAMPLES - 0.5
    angles = places[:, None] + u * 2 * np.pi / teeth
    return np.interp(angles, ring.angles, ring.haze if haze else ring.height, period=2 * np.pi)


def profile_of(slots: Values) -> tuple[Values | None, NDArray[np.bool_]]:
    """Return the tooth that most slots hold which hold one, and which these are."""
    template = slots.mean(axis=0)
    kept = np.ones(len(slots), dtype=bool)
    for _ in range(3):
        power = float(template @ template)
        if power <= 0:
            return None, kept
        gain = slots @ template / power
        usual = np.quantile(gain, 0.8)
        kept = (gain > 0.6 * usual) & (gain < 1.5 * usual)
        if not kept.any():
            return None, kept
        template = np.median(slots[kept], axis=0)
    return template, kept


def shifts(slots: Values, template: Values) -> Values:
    """Return how far each slot's tooth lies aside, in pitches, positive counter-clockwise."""
    slope = np.gradient(template) * SAMPLES
    return -((slots - template) @ slope) / max(float(slope @ slope), 1e-12)


def bent_places(places: Values, shift: Values, bends: Values) -> tuple[Values, float, float]:
    """Return the change of the places' terms, and how far the pitch is off, with its uncertainty.

    Centre and tilt are known from the roots but for a little, which is the prior; the pitch is
    left free only to be told: a whole number of teeth must close the turn.
    """
    columns = np.column_stack([harmonics(places), places - places.mean()])
    scatter = max(spread(shift), 1e-5)
    weights = 1 / (1 + (((shift - np.median(shift)) / (4 * scatter)) ** 2))
    held = np.array([0, *[CENTRE_PRIOR**-2] * 4, 0])
    normal = (columns * weights[:, None]).T @ columns / scatter**2 + np.diag(held)
    right = (columns * weights[:, None]).T @ shift / scatter**2
    right[:5] -= held[:5] * bends
    covariance = np.linalg.pinv(normal)
    slope = float((covariance @ right)[5])
    held_pitch = np.linalg.pinv(normal[:5, :5]) @ right[:5]
    return held_pitch, slope, float(np.sqrt(covariance[5, 5]))


def hopeless(slots: Values, template: Values) -> bool:
    """Return whether so many slots hold neither a tooth nor nothing that no better places help."""
    return odd_share(*judged(slots, template)) > HOPELESS


def odd_share(whole: NDArray[np.bool_], empty: NDArray[np.bool_]) -> float:
    """Return which share of the slots is neither whole nor empty."""
    return float(np.mean(~(whole | empty)))


def judged(slots: Values, template: Values) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return which slots hold a tooth like the template, and which hold none."""
    area = template.sum()
    share = slots.sum(axis=1) / area
    centred = slots - slots.mean(axis=1, keepdims=True)
    shape = template - template.mean()
    likeness = (
        centred @ shape / np.maximum(np.linalg.norm(centred, axis=1) * np.linalg.norm(shape), 1e-12)
    )
    whole = (np.abs(share - 1) < WHOLE) & (likeness > LIKENESS)
    return whole, (share < EMPTY) & ~whole
