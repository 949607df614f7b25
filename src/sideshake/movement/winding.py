"""Winding: turns of the crown, hours of running, turns of the rotor, and whether the rotor rubs."""

from dataclasses import dataclass
from fractions import Fraction

from sideshake.core.errors import InputError, Lacking
from sideshake.core.quantities import Measured, probability_below, propagate
from sideshake.movement.sections import Automatic
from sideshake.movement.sheet import CalibreSheet, Train, Winding
from sideshake.movement.train import turning

BARREL, FUSEE = "barrel", "fusee"
WORRYING_SHARE_OF_GAP = 0.5
"""A rim that lifts by more than half its gap is worn (common practice, no source)."""


def crown_turns_per_arbor_turn(winding: Winding) -> Fraction:
    """Return the turns of the crown for one turn of the barrel arbor, exact.

    Raises
    ------
    InputError : a count lacks

    Examples
    --------
    >>> work = Winding(winding_pinion=16, crown_wheel=36, ratchet_wheel=54)
    >>> crown_turns_per_arbor_turn(work)
    Fraction(27, 8)
    """
    pinion, crown, ratchet = winding.winding_pinion, winding.crown_wheel, winding.ratchet_wheel
    if pinion is None or crown is None or ratchet is None:
        counts = {"winding_pinion": pinion, "crown_wheel": crown, "ratchet_wheel": ratchet}
        raise Lacking(
            "the winding needs winding.winding_pinion, winding.crown_wheel and "
            "winding.ratchet_wheel",
            key=next(f"winding.{name}" for name, count in counts.items() if count is None),
        )
    return Fraction(crown, pinion) * Fraction(ratchet, winding.crown_wheel_out or crown)


def crown_turns(sheet: CalibreSheet, arbor_turns: Measured) -> Measured:
    """Return the turns of the crown that wind the arbor so many turns."""
    ratio = float(crown_turns_per_arbor_turn(sheet.needed("winding", "the turns of the crown")))
    return propagate(lambda turns: ratio * turns, arbor_turns)


def wound_by_key(sheet: CalibreSheet) -> bool:
    """Return whether a key winds it, on the arbor itself: as many turns as the arbor makes."""
    return sheet.winding is not None and sheet.winding.by == "key"


def hours_per_barrel_turn(train: Train) -> Fraction:
    """Return the hours in which the barrel, or the fusee it pulls, turns once, exact."""
    return 1 / turning(train, driving_arbor(train)).turns_per_hour


def driving_arbor(train: Train) -> str:
    """Return the name of the arbor that drives the train: the fusee if it has one."""
    return FUSEE if any(arbor.name == FUSEE for arbor in train.arbors) else BARREL


def reserve_h(train: Train, turns: Measured) -> Measured:
    """Return the power reserve in hours of that many turns of the barrel, counted or computed."""
    if turns.value <= 0:
        raise InputError(f"the barrel must turn, got {turns.text()} turns")
    hours = hours_per_barrel_turn(train)
    return Measured(float(turns.value * hours), float(turns.u * hours))


@dataclass(frozen=True, slots=True, kw_only=True)
class RotorLift:
    """How far a rotor's rim can lift towards its neighbour, and whether it gets there."""

    towards: str
    lift_mm: Measured
    gap_mm: Measured
    rub_probability: float

    @property
    def worn(self) -> bool:
        """Return whether the rim uses up more of its gap than is healthy."""
        return self.lift_mm.value > WORRYING_SHARE_OF_GAP * self.gap_mm.value


@dataclass(frozen=True, slots=True, kw_only=True)
class RotorBearing:
    """A rotor's bearing and rim.

    `play_mm` is hole minus post, or the axial play of a ball race; `span_mm` is the length of the
    bearing on the post, or the diameter of the race.
    """

    play_mm: Measured
    span_mm: Measured
    rim_radius_mm: Measured

    def __post_init__(self) -> None:
        if min(self.span_mm.value, self.rim_radius_mm.value) <= 0 or self.play_mm.value < 0:
            raise InputError(
                f"span {self.span_mm.value} and rim radius {self.rim_radius_mm.value} mm must be "
                f"above 0, play {self.play_mm.value} mm not below 0"
            )


def rotor_lift(bearing: RotorBearing, gap_mm: Measured, *, towards: str) -> RotorLift:
    """Return the lift of the rotor's rim from the play of its bearing.

    Parameters
    ----------
    gap_mm : free gap from the rim to the part it lifts towards
    towards : that part's name

    Raises
    ------
    InputError : the gap is negative

    References
    ----------
    lift = radius x play / span: plane geometry for a small tilt; no published limits were found
    """
    if gap_mm.value < 0:
        raise InputError(f"the gap to the {towards} cannot be negative, got {gap_mm.value} mm")
    tilt = (bearing.rim_radius_mm, bearing.play_mm, bearing.span_mm)
    lift = propagate(lambda radius, play, span: radius * play / span, *tilt)
    left = propagate(lambda gap, radius, play, span: gap - radius * play / span, gap_mm, *tilt)
    return RotorLift(
        towards=towards, lift_mm=lift, gap_mm=gap_mm, rub_probability=probability_below(left, 0.0)
    )


def rotor_lifts(sheet: CalibreSheet, *, play_mm: Measured | None = None) -> tuple[RotorLift, ...]:
    """Return the lift towards each neighbour whose gap the sheet gives.

    `play_mm` is the play found on the bench; the sheet's play of a new bearing is used without it.
    """
    purpose = "the rotor's lift"
    bearing = RotorBearing(
        play_mm=play_mm or sheet.measured("automatic.play_mm", purpose),
        span_mm=sheet.measured("automatic.bearing_span_mm", purpose),
        rim_radius_mm=sheet.measured("automatic.rim_radius_mm", purpose),
    )
    work: Automatic = sheet.needed("automatic", purpose)
    gaps = (("case back", work.gap_case_back_mm), ("bridges", work.gap_bridge_mm))
    if all(gap is None for _, gap in gaps):
        sheet.measured("automatic.gap_case_back_mm", purpose)
    return tuple(
        rotor_lift(bearing, gap, towards=towards) for towards, gap in gaps if gap is not None
    )


def rotor_turns(sheet: CalibreSheet, arbor_turns: Measured) -> Measured:
    """Return the useful turns of the rotor that wind the barrel arbor so many turns."""
    ratio = sheet.measured("automatic.rotor_turns_per_arbor_turn", "the rotor's turns")
    return propagate(lambda per_turn, turns: per_turn * turns, ratio, arbor_turns)
