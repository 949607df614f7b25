"""The swings of a recording's segments: of which it is sure what they are, and that agree."""

from contextlib import suppress

import numpy as np

from sideshake.core.correlated import widened
from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.choices import SidesExplained
from sideshake.sound.event import SCALES_S
from sideshake.sound.explain import CHANCE_SIGMAS
from sideshake.sound.listener import Heard, SegmentNote
from sideshake.timing.amplitude import Swing, coarse, mean_of, page_swing
from sideshake.timing.naming import AmplitudeView, chosen

LEAST_AGREEING = 0.8
PLACED_HIDDEN = 0.2
ASTRAY_SHARE = 0.12
"""A time from unlocking to drop so far from the usual one of its neighbours is another noise's."""
NEIGHBOURS = 7


def swings_of(heard: Heard, view: AmplitudeView) -> tuple[list[Swing], str]:
    """Return the swing of each page that shows one, and why the last that does not shows none."""
    swings, reason = [], ""
    for note in heard.notes:
        if note.heard:
            try:
                choice = chosen(note, view)
                swings.append(swing_of(choice, note))
            except NotEnough as why:
                reason = str(why)
    kept = agreeing(swings)
    if len(kept) < LEAST_AGREEING * len(swings):
        return [], "unlocking and drop lie elsewhere from one half minute to the next"
    return kept, reason


def swing_of(choice: SidesExplained, note: SegmentNote) -> Swing:
    """Return the swing of a page by a choice, as exactly as its noises could be placed.

    Raises
    ------
    NotEnough : they could not, and an unlocking may be no more than chance
    """
    if is_first(choice, note):
        with suppress(NotEnough):
            return page_swing(note)
    if may_be_chance(choice, note):
        raise NotEnough("unlocking and drop do not stand out clearly enough")
    return coarse(choice, note)


def may_be_chance(choice: SidesExplained, note: SegmentNote) -> bool:
    """Return whether what is called unlocking stands out so little that it may be no noise.

    What only shows on the slowest scale may be what a codec or a level control spreads before it.
    """
    if note.explanation is None:
        return True
    named = zip(note.explanation.events, (choice.tick, choice.tock), strict=True)
    unlocks = [side[naming.unlock] for side, naming in named]
    return any(one.sigmas < CHANCE_SIGMAS or one.scale_s == SCALES_S[-1] for one in unlocks)


def agreeing(swings: list[Swing]) -> list[Swing]:
    """Return the swings that do not lie far from the usual one among their neighbours in time."""
    times_s = np.array([swing.time_s.value for swing in swings])
    kept = []
    for at, swing in enumerate(swings):
        first = max(0, min(at - NEIGHBOURS // 2, len(swings) - NEIGHBOURS))
        usual = float(np.median(times_s[first : first + NEIGHBOURS]))
        if abs(swing.time_s.value / usual - 1) < ASTRAY_SHARE:
            kept.append(swing)
    return kept


def is_first(choice: SidesExplained, note: SegmentNote) -> bool:
    """Return whether a choice is the most probable, whose onsets were placed exactly."""
    return note.explanation is not None and choice is note.explanation.choices[0]


def settled_by_expectation(heard: Heard, swings: list[Swing]) -> bool:
    """Return whether some amplitude rests on what the watch was said to swing."""
    notes = [note for note in heard.notes if note.explanation is not None]
    unsure = {
        note.start_s
        for note in notes
        if note.explanation and not (note.explanation.sure or note.explanation.nearly_sure)
    }
    return any(swing.start_s in unsure for swing in swings)


def unlocked(heard: Heard) -> list[Swing]:
    """Return what the portraits say of each page on which it is sure which noise is unlocking."""
    swings = []
    for note in heard.notes:
        if note.explanation is not None and note.explanation.unlocking_sure:
            with suppress(NotEnough):
                swings.append(page_swing(note))
    return swings


def placed(heard: Heard) -> list[Swing]:
    """Return what the portraits say of each page whose first choice is rather probable.

    Should it be another one, its noises too move apart as the amplitude changes.
    """
    swings = []
    for note in heard.notes:
        explanation = note.explanation
        if explanation is not None and explanation.hidden < PLACED_HIDDEN:
            with suppress(NotEnough):
                swings.append(page_swing(note))
    return swings


def mean_time(swings: list[Swing]) -> Measured:
    """Return the mean time from unlocking to drop; what the onsets' shape adds is common to all."""
    mean = mean_of([swing.time_s for swing in swings])
    shape = float(np.mean([swing.shape_u_s for swing in swings]))
    return widened(mean, shape)
