"""What a repair of the barrel's bearings can and cannot bring in amplitude: an honest range."""

from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.energy import bearing_loss

RUBY_ON_STEEL = 0.15
"""Friction of sapphire on steel, clean or oiled (CRC Handbook table)."""
OILED_BRASS, DRY_BRASS = 0.19, 0.35
"""Friction of steel on brass with mineral oil, and dry (a physics handbook's table)."""
VISCOUS, DRY = 0.5, 1.0
"""Amplitude goes with the square root of torque if all loss is viscous (energy lost goes with the
amplitude squared), with torque itself if all is dry friction (it goes with the amplitude)."""

POSSIBLE, CERTAIN = 0.05, 0.95
"""Probabilities from which a loss is counted as possible, as certain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AmplitudeSpan:
    """From the least to the most."""

    least: float
    most: float

    def __post_init__(self) -> None:
        if not self.least <= self.most:
            raise InputError(f"a span runs from less to more, got {self.least} to {self.most}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What a repair may bring: shares of the barrel's torque, and degrees of amplitude."""

    bearing_share: AmplitudeSpan
    rubbing_share: AmplitudeSpan
    amplitude_deg: AmplitudeSpan
    sentence: str


def bearing_share(pivot_mm: Measured, pitch_radius_mm: Measured) -> AmplitudeSpan:
    """Return the share of torque that plain friction of one loaded pivot takes, ruby to dry brass.

    References
    ----------
    derived: the pull M/R at the pivot radius r costs mu M r / R
    """
    radius = Measured(pivot_mm.value / 2)
    least, most = (
        bearing_loss(Measured(each), bearing_mm=radius, pitch_mm=pitch_radius_mm).value
        for each in (RUBY_ON_STEEL, DRY_BRASS)
    )
    return AmplitudeSpan(least=least, most=most)


def rubbing_share(toothed_plane_mm: float, pitch_radius_mm: float) -> AmplitudeSpan:
    """Return the share of torque that a rim dragging on plate or bridge takes: mu z / R.

    When the upper hole is so loose that it carries nothing, the moment of the side pull about the
    lower bearing, M z / R, is carried by the rim: a force M z / (R rim) there, whose friction has
    the rim as its lever. Smooth metal is assumed; a burr or a scraping edge costs more.

    References
    ----------
    derived from the balance of moments
    """
    if not 0 <= toothed_plane_mm < pitch_radius_mm:
        raise InputError(
            f"the toothed plane {toothed_plane_mm:g} mm above the lower bearing must be 0 or more "
            f"and less than the pitch radius {pitch_radius_mm:g} mm"
        )
    lever = toothed_plane_mm / pitch_radius_mm
    return AmplitudeSpan(least=OILED_BRASS * lever, most=DRY_BRASS * lever)


def amplitude_gain(amplitude_deg: float, torque_share: AmplitudeSpan) -> AmplitudeSpan:
    """Return how many degrees come back when a lost share of the torque does.

    Examples
    --------
    >>> gain = amplitude_gain(250.0, AmplitudeSpan(least=0.02, most=0.04))
    >>> round(gain.least, 1), round(gain.most, 1)
    (2.5, 10.4)
    """
    if not 0 < amplitude_deg < 360:
        raise InputError(f"an amplitude lies between 0 and 360 degrees, got {amplitude_deg:g}")
    least, most = ((1 - share) for share in (torque_share.least, torque_share.most))
    return AmplitudeSpan(
        least=amplitude_deg * (least**-VISCOUS - 1), most=amplitude_deg * (most**-DRY - 1)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """What the estimate needs to know of the barrel's drive."""

    pivot_mm: Measured
    toothed_plane_mm: Measured
    pitch_radius_mm: Measured
    amplitude_deg: float
    arbor_turns: bool


def repair_gain(drive: Drive, *, rubs_running: float, rubs_free: float) -> Gain:
    """Return what new holes for the barrel arbor can bring.

    The least counts only what is lost for certain, the most what may be lost in some position.

    Parameters
    ----------
    rubs_running : probability that the barrel rubs under the pull of the mesh alone, 0 to 1
    rubs_free : probability that it rubs when it leans as far as it can, 0 to 1
    """
    radius = drive.pitch_radius_mm.value
    bearing = bearing_share(drive.pivot_mm, drive.pitch_radius_mm)
    rubbing = rubbing_share(drive.toothed_plane_mm.value, radius)
    saved = bearing.most - bearing.least if drive.arbor_turns else 0.0
    torque = AmplitudeSpan(
        least=rubbing.least if rubs_running > CERTAIN else 0.0,
        most=(rubbing.most if rubs_free > POSSIBLE else 0.0) + saved,
    )
    amplitude = amplitude_gain(drive.amplitude_deg, torque)
    return Gain(
        bearing_share=bearing,
        rubbing_share=rubbing,
        amplitude_deg=amplitude,
        sentence=gain_sentence(bearing, rubbing, amplitude, arbor_turns=drive.arbor_turns),
    )


def gain_sentence(
    bearing: AmplitudeSpan, rubbing: AmplitudeSpan, amplitude: AmplitudeSpan, *, arbor_turns: bool
) -> str:
    """Return what the repair can bring, in plain words."""
    standing = (
        ""
        if arbor_turns
        else " and the arbor stands still while the watch runs, so even that is not won back"
    )
    return (
        f"Plain friction of the arbor's pivots is worth only {percent(bearing)} of the torque"
        f"{standing}; ending the rubbing is worth {percent(rubbing)}, more if an edge scrapes. "
        f"{expectation(amplitude)} If more is missing, look at the mainspring, the cleaning and "
        "the escapement first."
    )


def expectation(amplitude: AmplitudeSpan) -> str:
    """Return what to expect in degrees, in a sentence."""
    if amplitude.most < 0.5:
        return "Expect no amplitude back from new holes."
    if round(amplitude.least) == 0:
        return f"Expect at most {amplitude.most:.0f} degrees of amplitude back, perhaps none."
    return f"Expect {amplitude.least:.0f} to {amplitude.most:.0f} degrees of amplitude back."


def percent(share: AmplitudeSpan) -> str:
    """Return a span of shares as "1.2 to 2.8 %"."""
    return f"{100 * share.least:.1f} to {100 * share.most:.1f} %"
