"""Which noises of a segment are unlocking and drop, and in words why that is not sure."""

import math
from dataclasses import dataclass

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.choices import SURE, Explanation, SidesExplained
from sideshake.sound.listener import SegmentNote
from sideshake.timing.amplitude import amplitude_deg

ENOUGH_DB = -29.0
"""An unlocking fainter than this against the drop is too rare to be thought of."""
LEAST_QUIETER_DB = 3.0
LIKE_BEFORE_DEG = 15.0
"""How far a watch may swing from what it is said to swing (standard deviation; common practice, no
source: laid anew, or dial down for dial up)."""
ANY_DEG = 250.0
"""A swing of which nothing is known lies anywhere within so many degrees."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AmplitudeView:
    """What turns a time from unlocking to drop into an amplitude, and what that should be about."""

    beat_s: float
    lift_angle_deg: float
    expected_deg: Measured | None = None

    def swing_deg(self, choice: SidesExplained) -> float | None:
        """Return the amplitude that a choice means, None where there is none."""
        if not 0 < choice.span_s < self.beat_s:
            return None
        return amplitude_deg(choice.span_s, beat_s=self.beat_s, lift_angle_deg=self.lift_angle_deg)


def chosen(note: SegmentNote, view: AmplitudeView) -> SidesExplained:
    """Return which noises of tick and tock are unlocking and drop.

    Raises
    ------
    NotEnough : it is not sure; says what else it could be, or what would settle it
    """
    explanation = note.explanation
    if explanation is None:
        raise NotEnough("only one of tick and tock is heard")
    if explanation.sure or explanation.nearly_sure:
        return explanation.choices[0]
    if view.expected_deg is not None:
        settled = by_expectation(explanation, view, view.expected_deg)
        if settled is not None:
            return settled
    raise NotEnough(why_open(explanation, view))


def by_expectation(
    explanation: Explanation, view: AmplitudeView, expected: Measured
) -> SidesExplained | None:
    """Return the choice that what the watch is said to swing decides for, None if it does not.

    Bayes' rule: each choice's probability times how well it goes with what is expected.
    """
    sigma = math.hypot(expected.u, LIKE_BEFORE_DEG)
    weights, hidden = [], explanation.hidden / ANY_DEG
    for choice in explanation.choices:
        swing = view.swing_deg(choice)
        off = math.inf if swing is None else (swing - expected.value) / sigma
        density = math.exp(-(off**2) / 2) / (sigma * math.sqrt(2 * math.pi))
        weights.append(choice.probability * density)
    total = sum(weights) + hidden
    if not weights or max(weights) <= SURE * total:
        return None
    return explanation.choices[weights.index(max(weights))]


def why_open(explanation: Explanation, view: AmplitudeView) -> str:
    """Return in words what the amplitude may be, or what would settle it."""
    told = [view.swing_deg(choice) for choice in explanation.likely]
    swings = sorted(swing for swing in told if swing is not None)
    if explanation.hidden > 1 - SURE:
        most = f"it swings at most {swings[-1]:.0f}°; " if bounds(explanation) and swings else ""
        return most + hidden_words(explanation)
    if len(swings) > 1:
        ways = " or ".join(f"{swing:.0f}°" for swing in swings)
        return f"the noises of the tick can be named in more than one way: {ways}"
    return "it is not sure which noises are unlocking and drop"


def bounds(explanation: Explanation) -> bool:
    """Return whether all that is heard and all that may hide allow no wider swing."""
    seen = sum(choice.probability for choice in explanation.likely)
    return seen + explanation.hidden > SURE


def hidden_words(explanation: Explanation) -> str:
    """Return what would settle whether a fainter unlocking hides in the room's noise."""
    quieter_db = max(LEAST_QUIETER_DB, explanation.limit_db - ENOUGH_DB)
    return (
        "a fainter unlocking could hide in the room's noise; a room some "
        f"{quieter_db:.0f} dB quieter, or the microphone that much nearer, would settle it"
    )
