"""What an amplitude says: torque missing, or more lost at the balance; what tells them apart."""

from sideshake.command.running_words import percent
from sideshake.command.say import CommandAnswer, Grid
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.energy import (
    Losses,
    amplitude_at,
    half_swing_s,
    losses_more,
    losses_of,
    torque_missing,
)
from sideshake.movement.sheet import CalibreSheet

HALF = 0.5


def amplitude_words(
    calibre: CalibreSheet, swing: Measured, *, hanging: bool, torque_mnm: Measured
) -> CommandAnswer:
    """Return what an amplitude says of torque and losses, and what would tell them apart.

    `torque_mnm` is what the strip of the sheet gives, fully wound.
    """
    losses = losses_of(calibre, hanging=hanging)
    missing, more = torque_missing(losses, swing), losses_more(losses, swing)
    word, nominal = "hanging" if hanging else "lying", f"{losses.nominal_deg.text()}°"
    figures: dict[str, object] = {"torque_missing": missing, "losses_more": more}
    if missing.holds(0.0):
        said = (
            f"{swing.text()}° {word} does not differ from the nominal {nominal} by more than the "
            f"uncertainty: {percent(missing)} % of the torque is missing, or the balance loses "
            f"{percent(more)} % more."
        )
        return CommandAnswer(schema="spring", sentences=[said], figures=figures)
    if missing.value < 0:
        said = (
            f"{swing.text()}° {word} is above the nominal {nominal}: {percent(turned(missing))} % "
            f"more torque, or {percent(turned(more))} % less lost at the balance. Is the spring "
            "too strong? Listen for knocking; hold the lift angle against another source."
        )
        return CommandAnswer(schema="spring", sentences=[said], figures=figures)
    said = (
        f"{swing.text()}° {word} instead of {nominal}: either {percent(missing)} % of the torque "
        f"is missing (weak spring, or lost on the way), or the balance loses {percent(more)} % "
        "more than it should (dirt, oil, pivots, something touching), or some of both. The "
        "amplitude alone does not tell which."
    )
    rows = telling_rows(calibre, losses, missing=missing, hanging=hanging)
    rows.append(torque_row(torque_mnm, missing))
    table = Grid(
        title="What tells them apart",
        columns=("look at", "if torque is missing", "if the balance loses more"),
        rows=rows,
    )
    return CommandAnswer(schema="spring", sentences=[said], grids=[table], figures=figures)


def turned(value: Measured) -> Measured:
    """Return a value with the other sign."""
    return Measured(-value.value, value.u)


def torque_row(torque_mnm: Measured, missing: Measured) -> tuple[str, str, str]:
    """Return what the torque on the barrel arbor would be."""
    weak = propagate(lambda full, lost: full * (1 - lost), torque_mnm, missing)
    return (
        "torque on the barrel arbor, fully wound",
        f"{weak.text()} mN·m with a weak spring; {torque_mnm.text()} if lost further on",
        f"{torque_mnm.text()} mN·m",
    )


def telling_rows(
    calibre: CalibreSheet, losses: Losses, *, missing: Measured, hanging: bool
) -> list[tuple[str, str, str]]:
    """Return what the free balance and the other position would show, where the sheet can say."""
    rows = []
    quality = calibre.balance.quality_factor if calibre.balance else None
    if quality and calibre.beats_per_hour:
        sound = half_swing_s(losses, calibre.beats_per_hour, quality_factor=quality)
        times = propagate(lambda lost: 1 / (1 - lost), missing)
        short = half_swing_s(losses, calibre.beats_per_hour, quality_factor=quality, times=times)
        start = losses.nominal_deg.value
        rows.append(
            (
                f"fork out, balance swung free: from {start:.0f}° to {HALF * start:.0f}°",
                f"{sound.text()} s, as a sound one",
                f"{short.text()} s",
            )
        )
    known = calibre.nominal
    if known and known.lying_full_deg and known.hanging_full_deg:
        share = Measured(1 - missing.value, missing.u)
        other = amplitude_at(losses_of(calibre, hanging=not hanging), share)
        place, away = ("lying", "more") if hanging else ("hanging", "less")
        rows.append(
            (
                f"amplitude {place}, fully wound",
                f"{other.text()}°",
                f"{away} than that if its pivots or holes drag",
            )
        )
    return rows
