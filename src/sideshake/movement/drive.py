"""What drives the train: one barrel, two of them, or a barrel that pulls a fusee by a chain.

Two barrels are taken as alike and geared 1 to 1: in series the second winds the first's arbor, so
that their turns add at the torque of one; in parallel both drive the train, so that their torques
add at the turns of one.
"""

from fractions import Fraction

from sideshake.core.quantities import Measured
from sideshake.movement.fusee import cone_of, fusee_left, pull_of_fusee
from sideshake.movement.hand_times import DAY_H
from sideshake.movement.mainspring import full_torque, room_of, spring_of, torque_left
from sideshake.movement.running import Running, running_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.train import train_of
from sideshake.movement.winding import hours_per_barrel_turn, rotor_turns

IN_SERIES, IN_PARALLEL = "two in series", "two in parallel"


def barrels_of(sheet: CalibreSheet) -> str:
    """Return how many barrels there are, and how they work together."""
    return (sheet.drive.barrels if sheet.drive else None) or "one"


def hours_per_turn(sheet: CalibreSheet) -> Fraction:
    """Return the hours in which the arbor that drives the train turns once, exact."""
    return hours_per_barrel_turn(train_of(sheet))


def rotor_turns_a_day(sheet: CalibreSheet) -> Measured:
    """Return the useful turns of the rotor for a day's running."""
    return rotor_turns(sheet, Measured(DAY_H / float(hours_per_turn(sheet))))


def drive_turns(
    sheet: CalibreSheet, whole: Running | None = None, *, counted: bool = False
) -> Measured:
    """Return how often the arbor that drives the train turns, from fully wound to stopped.

    `whole` is what the watch uses of one spring, that of the sheet if left out; what was `counted`
    was counted at the arbor that drives the train.

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> drive_turns(shipped_sheet("tarnbrook-31")).text()
    '6.4 ± 0.6'
    """
    used = (whole or running_of(sheet)).turns
    if counted:
        return used
    if sheet.fusee:
        pull_of_fusee(sheet)
        return sheet.measured("fusee.turns", "the running time")
    return Measured(2 * used.value, 2 * used.u) if barrels_of(sheet) == IN_SERIES else used


def drive_torque(sheet: CalibreSheet) -> Measured:
    """Return the torque at the arbor that drives the train, fully wound, in mN·m.

    It is the strip's own: friction in the barrel is left out.
    """
    if sheet.fusee:
        return pull_of_fusee(sheet).full_mnm
    one = full_torque(room_of(sheet), spring_of(sheet))
    return Measured(2 * one.value, 2 * one.u) if barrels_of(sheet) == IN_PARALLEL else one


def running_h(
    sheet: CalibreSheet, whole: Running | None = None, *, counted: bool = False
) -> Measured:
    """Return the hours from fully wound to stopped; as `drive_turns`."""
    turns, hours = drive_turns(sheet, whole, counted=counted), float(hours_per_turn(sheet))
    return Measured(turns.value * hours, turns.u * hours)


def torque_left_after(sheet: CalibreSheet, hours: float, whole: Running | None = None) -> Measured:
    """Return the share of the full torque that is left at the train after so many hours.

    Raises
    ------
    NotEnough : it has run down by then
    """
    turns = hours / float(hours_per_turn(sheet))
    room, spring = room_of(sheet), spring_of(sheet)
    if sheet.fusee:
        return fusee_left(room, spring, cone_of(sheet), turns_run=turns)
    each = turns / 2 if barrels_of(sheet) == IN_SERIES else turns
    return torque_left(room, spring, each, unwound=(whole or running_of(sheet)).unwound)
