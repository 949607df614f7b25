"""What made a hole oval: its long axis held against the thrusts of mesh, click and winding."""

import math
from dataclasses import dataclass
from enum import StrEnum

from sideshake.core.quantities import Measured
from sideshake.wear.bearing import Hole, ovality

SURE_OVAL = 2.0
"""An ovality below twice its own uncertainty may be no ovality at all."""
AXIS_U_DEG = 5.0
"""Standard uncertainty of an axis read by eye, where none is written (common practice)."""
POSSIBLE = 0.10
"""What is less probable than this is not said to be possible."""


class WearCause(StrEnum):
    """What wore the hole."""

    ROUND = "round"
    WINDING = "winding"
    MESH = "mesh"
    CLICK = "click"
    SEVERAL = "several possible"
    NEITHER = "neither"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Thrust:
    """A load that may have worn a hole, and in which directions it may press there.

    One direction if its partners' places are known, many if they are not.
    """

    cause: WearCause
    directions_deg: tuple[float, ...]
    u_deg: float

    @property
    def known(self) -> bool:
        """Return whether the direction is known."""
        return len(self.directions_deg) == 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A cause, how probable it is, and how far the long axis stands off its thrust (degrees)."""

    cause: WearCause
    probability: float
    off_deg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleCause:
    """The cause, each candidate with its probability, and a sentence."""

    cause: WearCause
    ovality_mm: Measured
    candidates: tuple[Candidate, ...]
    sentence: str


SENTENCES = {
    WearCause.ROUND: "The hole is not measurably oval, so its shape tells nothing of the cause.",
    WearCause.WINDING: "The long axis lies along the thrust of winding ({chance}): the arbor turns "
    "in "
    "this hole only while the watch is wound, and a dry or dirty hole wears then. Clean, true and "
    "oil it, or the new hole goes the same way.",
    WearCause.CLICK: "The long axis lies along the load under way, which the click makes "
    "({chance}): "
    "the arbor stands pressed there all the time the watch runs, so this is pressing and fretting.",
    WearCause.MESH: "The long axis lies along the steady pull of the mesh ({chance}): the arbor "
    "stands "
    "still while the watch runs, so this is pressing and fretting, helped by every winding.",
    WearCause.NEITHER: "The long axis follows none of the thrusts of mesh, click and winding: "
    "look for a bent arbor, a hole closed with a punch, or an earlier repair.",
    WearCause.UNKNOWN: "Without the places of centre pinion, click and crown wheel the cause stays "
    "open.",
}
TURNING_ARBOR = (
    "In this calibre the arbor turns while the watch runs, so the mesh wears the hole all the time."
)
NAMES = {
    WearCause.WINDING: "the thrust of winding",
    WearCause.CLICK: "the click's load under way",
    WearCause.MESH: "the pull of the mesh",
}
PLACES = {
    WearCause.WINDING: "the crown wheel's place (crown_wheel_deg)",
    WearCause.CLICK: "the click's place (click_deg)",
    WearCause.MESH: "the pinion's place (centre_wheel_deg)",
}


def cause_of(hole: Hole, thrusts: tuple[Thrust, ...], *, arbor_turns: bool = False) -> HoleCause:
    """Return what the direction of the long axis says about the cause.

    Each thrust, and that it was none of them, is taken for as likely beforehand; what the axis
    makes of that is Bayes' rule. A thrust whose direction is not known may have pressed anywhere.

    Parameters
    ----------
    thrusts : what may have worn this hole
    arbor_turns : whether the arbor turns while the watch runs (not in an ordinary going barrel)
    """
    oval = ovality(hole)
    found = candidates(hole, thrusts)
    cause = which_cause(found, thrusts) if is_oval(oval) else WearCause.ROUND
    words = sentence_of(cause, found, thrusts)
    if arbor_turns and cause is WearCause.MESH:
        words = TURNING_ARBOR
    return HoleCause(cause=cause, ovality_mm=oval, candidates=found, sentence=words)


def is_oval(oval: Measured) -> bool:
    """Return whether an ovality is more than its own uncertainty can make."""
    return oval.value > SURE_OVAL * oval.u and oval.value > 0


def candidates(hole: Hole, thrusts: tuple[Thrust, ...]) -> tuple[Candidate, ...]:
    """Return each thrust with its probability; the rest is that it was none of them."""
    likely = [likelihood(hole, each) for each in thrusts]
    every = sum(likely) + 1 / 180.0
    return tuple(
        Candidate(
            cause=thrust.cause,
            probability=weight / every,
            off_deg=axis_off(hole.long_axis_deg, thrust.directions_deg[0])
            if thrust.known
            else None,
        )
        for thrust, weight in zip(thrusts, likely, strict=True)
    )


def likelihood(hole: Hole, thrust: Thrust) -> float:
    """Return how densely a thrust puts the long axis where it was found, per degree.

    A normal distribution wound round the half turn that an axis can take.
    """
    u = math.hypot(axis_doubt_deg(hole), thrust.u_deg)
    densities = [
        math.exp(-(((off + turn) / u) ** 2) / 2) / (u * math.sqrt(2 * math.pi))
        for each in thrust.directions_deg
        for off in (axis_off(hole.long_axis_deg, each),)
        for turn in (-180.0, 0.0)
    ]
    return sum(densities) / len(thrust.directions_deg)


def axis_doubt_deg(hole: Hole) -> float:
    """Return the standard uncertainty of the long axis: as it was read, and from the ovality.

    References
    ----------
    derived: diameters d + (oval / 2) cos 2(angle - axis), each known to u, fix the axis to about
    u / oval (radians) from two readings; the ovality's own u is that of two diameters
    """
    oval = ovality(hole)
    by_size = math.degrees(oval.u / math.sqrt(2.0) / oval.value) if oval.value > 0 else 90.0
    return math.hypot(hole.long_axis_u_deg or AXIS_U_DEG, min(by_size, 90.0))


def which_cause(found: tuple[Candidate, ...], thrusts: tuple[Thrust, ...]) -> WearCause:
    """Return the one cause that is possible, that several are, or that none is."""
    known = {each.cause for each in thrusts if each.known}
    possible = [each.cause for each in found if each.probability >= POSSIBLE]
    if not known:
        return WearCause.UNKNOWN
    if not possible:
        return WearCause.NEITHER
    if len(possible) > 1:
        return WearCause.SEVERAL
    return possible[0] if possible[0] in known else WearCause.UNKNOWN


def sentence_of(cause: WearCause, found: tuple[Candidate, ...], thrusts: tuple[Thrust, ...]) -> str:
    """Return what is to be said of a cause."""
    if cause is WearCause.SEVERAL:
        return several_words(found, open_places(found, thrusts))
    known = [each.cause for each in thrusts if each.known]
    if cause is WearCause.UNKNOWN and known:
        along = "follows neither " if len(known) > 1 else "does not follow "
        return (
            f"The long axis {along}{' nor '.join(NAMES[each] for each in known)}; write down "
            f"{' and '.join(open_places(found, thrusts))} to tell whether the rest made it."
        )
    chance = next((percent(each) for each in found if each.cause is cause), "")
    return SENTENCES[cause].format(chance=chance)


def open_places(found: tuple[Candidate, ...], thrusts: tuple[Thrust, ...]) -> list[str]:
    """Return the lines that would tell where what is possible presses."""
    return [
        PLACES[thrust.cause]
        for each, thrust in zip(found, thrusts, strict=True)
        if not thrust.known and each.probability >= POSSIBLE
    ]


def percent(each: Candidate) -> str:
    """Return a candidate's probability in whole percent."""
    return f"{100 * each.probability:.0f} %"


def several_words(found: tuple[Candidate, ...], open_places: list[str]) -> str:
    """Return every cause that is possible with its probability, and what would tell more."""
    possible = sorted(
        (each for each in found if each.probability >= POSSIBLE), key=lambda c: -c.probability
    )
    named = " or ".join(f"{NAMES[each.cause]} ({percent(each)})" for each in possible)
    tell = (
        f"Write down {' and '.join(open_places)} to tell them apart."
        if open_places
        else "They lie too close together here to be told apart."
    )
    return f"The hole may have been worn by {named}. {tell}"


def axis_off(axis_deg: float, thrust_deg: float) -> float:
    """Return the angle between an axis, which has no sense, and a thrust (0 to 90 degrees).

    Examples
    --------
    >>> axis_off(10.0, 190.0), axis_off(0.0, 135.0)
    (0.0, 45.0)
    """
    off = abs(axis_deg - thrust_deg) % 180.0
    return min(off, 180.0 - off)
