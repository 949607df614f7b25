"""What became of each tooth, judged by its area: wear takes metal away, only dirt adds any."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy import ndimage

from sideshake.photo.blob import Values
from sideshake.photo.comb import SAMPLES, Comb, slots_at
from sideshake.photo.spread import spread
from sideshake.photo.unrolled import UnrolledRing

MISSING_BELOW = 0.2
WORN_BELOW = 0.93
SCATTERS = 5.0
BROKEN_TOP = 0.86
AS_CUT = 0.13
"""A tooth cut off level keeps its form below: what is left of it differs by less."""
LEAST_ASIDE = 0.05
"""A tip leans if its centre lies aside by so much of a pitch."""
ADDED = 0.12
FILM = 0.15
LEAST_COVER, COVER_OF_LOSS = 0.05, 0.4
"""What lacks of a tooth may be hidden if so much of it is hazy or has something beside it."""
SLACK = SAMPLES // 24
"""A tooth may stand aside by 4 % of a pitch before its edge counts as added or lost."""


class ToothState(StrEnum):
    """What the photograph shows of a tooth."""

    WHOLE = "whole"
    WORN = "worn"
    BENT = "bent"
    BROKEN = "broken"
    MISSING = "missing"
    COVERED = "covered"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tooth:
    """One tooth, numbered clockwise as seen in the photograph.

    `area` is its area as a share of a whole tooth's, `aside` how far its middle lies from where it
    should, in pitches, clockwise. `angle_deg` is counter-clockwise from 3 o'clock. `dirty` says
    that something lies on it or beside it.
    """

    number: int
    state: ToothState
    angle_deg: float
    area: float
    aside: float
    dirty: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Shapes:
    """How the slots differ from a whole tooth; shape (teeth,), areas as shares of a tooth's.

    `own` is what lies within a whole tooth's form, `cut` what that would be if it were cut off
    level at its own height, `film` what is neither metal nor ground beyond what edges have.
    """

    area: Values
    own: Values
    added: Values
    lacking: Values
    film: Values
    cut: Values
    top: Values
    aside: Values
    scatter: float
    aside_scatter: float


def teeth_of(ring: UnrolledRing, comb: Comb, *, first: float) -> tuple[Tooth, ...]:
    """Return every tooth with its state, tooth 1 nearest to an angle.

    Parameters
    ----------
    first : radians counter-clockwise from 3 o'clock, where tooth 1 stands
    """
    shapes = shapes_of(ring, comb)
    away = np.abs((comb.places - first + np.pi) % (2 * np.pi) - np.pi)
    start = int(np.argmin(away))
    turn = (start - np.arange(comb.teeth)) % comb.teeth
    return tuple(
        Tooth(
            number=number,
            state=state_of(shapes, slot),
            angle_deg=float(np.degrees(comb.places[slot]) % 360),
            area=float(max(shapes.own[slot], 0)),
            aside=float(-shapes.aside[slot]),
            dirty=bool(shapes.added[slot] > ADDED or shapes.film[slot] > FILM),
        )
        for number, slot in enumerate(turn.tolist(), start=1)
    )


def shapes_of(ring: UnrolledRing, comb: Comb) -> Shapes:
    """Return how each slot differs from a whole tooth."""
    slots = np.maximum(comb.slots, 0)
    whole = np.maximum(comb.template, 0)
    size = whole.sum()
    wide = ndimage.maximum_filter1d(whole, 2 * SLACK + 1, mode="wrap")
    narrow = ndimage.minimum_filter1d(whole, 2 * SLACK + 1, mode="wrap")
    haze = slots_at(ring, comb.places, comb.teeth, haze=True)
    usual = np.median(haze[comb.whole].sum(axis=1))
    own = np.minimum(slots, wide).sum(axis=1)
    own = own / np.median(own[comb.whole])
    tops = np.quantile(slots, 0.97, axis=1)
    aside = middle(slots) - middle(whole[None, :])
    return Shapes(
        area=slots.sum(axis=1) / size,
        own=own,
        added=np.maximum(slots - wide - 0.03 * whole.max(), 0).sum(axis=1) / size,
        lacking=np.maximum(narrow - slots - 0.03 * whole.max(), 0).sum(axis=1) / size,
        film=np.maximum(haze.sum(axis=1) - usual, 0) / size,
        cut=np.minimum(whole, tops[:, None]).sum(axis=1) / size,
        top=tops / np.quantile(whole, 0.97),
        aside=aside,
        scatter=spread(own[comb.whole]),
        aside_scatter=spread(aside[comb.whole]),
    )


def middle(slots: Values) -> Values:
    """Return where the middle of the upper half of each tooth lies, in pitches."""
    u = (np.arange(SAMPLES) + 0.5) / SAMPLES - 0.5
    upper = np.maximum(slots - 0.4 * slots.max(axis=1, keepdims=True), 0)
    places: Values = (upper @ u) / np.maximum(upper.sum(axis=1), 1e-9)
    return places


def state_of(shapes: Shapes, slot: int) -> ToothState:
    """Return what became of one tooth."""
    own, added = shapes.own[slot], shapes.added[slot]
    covered = added + shapes.film[slot] > max(LEAST_COVER, COVER_OF_LOSS * (1 - own))
    if own < MISSING_BELOW:
        return ToothState.MISSING
    if leans(shapes, slot):
        return ToothState.BENT
    if own >= min(WORN_BELOW, 1 - SCATTERS * shapes.scatter):
        return ToothState.WHOLE
    if covered:
        return ToothState.COVERED
    cut_off = shapes.top[slot] < BROKEN_TOP and own > shapes.cut[slot] - AS_CUT
    return ToothState.BROKEN if cut_off else ToothState.WORN


def leans(shapes: Shapes, slot: int) -> bool:
    """Return whether a tooth has all its metal, aside of where it should be."""
    added, lacking = shapes.added[slot], shapes.lacking[slot]
    limit = max(LEAST_ASIDE, SCATTERS * shapes.aside_scatter)
    moved = abs(shapes.aside[slot]) > limit and min(added, lacking) > 0.02
    return bool(moved and 0.8 < shapes.area[slot] < 1.2 and shapes.top[slot] > BROKEN_TOP)
