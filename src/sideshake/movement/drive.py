"""What drives the train: one barrel, two of them, or a barrel that pulls a fusee by a chain.

Two barrels are taken as alike and geared 1 to 1: in series the second winds the first's arbor, so
that their turns add at the torque of one; in parallel both drive the train, so that their torques
add at the turns of one. The radius of a fusee is taken to grow evenly from turn to turn.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from sideshake.errors import InputError, NotEnough
from sideshake.movement.mainspring import (
    Room,
    Spring,
    coils_run_down,
    full_torque,
    room_of,
    spring_of,
    torque,
    torque_left,
    turns_available,
)
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.train import train_of
from sideshake.movement.winding import hours_per_barrel_turn
from sideshake.quantities import Measured, propagate

IN_SERIES, IN_PARALLEL = "two in series", "two in parallel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cone:
    """A fusee: its turns, its radii, the radius of the barrel it is pulled by; lengths in mm."""

    turns: Measured
    least_mm: Measured
    largest_mm: Measured
    barrel_mm: Measured
    set_up_turns: Measured

    def __post_init__(self) -> None:
        if self.largest_mm.value <= self.least_mm.value:
            raise InputError(
                f"fusee.largest_radius_mm {self.largest_mm.text()} must be above "
                f"fusee.least_radius_mm {self.least_mm.text()}"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """What a fusee makes of a barrel's torque at full wind, and how even it keeps it."""

    full_mnm: Measured
    barrel_turns: Measured
    """Turns of the barrel that the chain takes."""
    last_over_full: Measured
    """The torque at the end over that at full wind; 1 is an even fusee."""


def barrels_of(sheet: CalibreSheet) -> str:
    """Return how many barrels there are, and how they work together."""
    return (sheet.drive.barrels if sheet.drive else None) or "one"


def hours_per_turn(sheet: CalibreSheet) -> Fraction:
    """Return the hours in which the arbor that drives the train turns once, exact."""
    return hours_per_barrel_turn(train_of(sheet))


def drive_turns(sheet: CalibreSheet) -> Measured:
    """Return how often the arbor that drives the train turns from fully wound to run down.

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> drive_turns(shipped_sheet("tarnbrook-31")).text()
    '7.17 ± 0.14'
    """
    one = turns_available(room_of(sheet), spring_of(sheet))
    if sheet.fusee:
        pull_of_fusee(sheet)
        return sheet.measured("fusee.turns", "the running time")
    return Measured(2 * one.value, 2 * one.u) if barrels_of(sheet) == IN_SERIES else one


def drive_torque(sheet: CalibreSheet) -> Measured:
    """Return the torque at the arbor that drives the train, fully wound, in mN·m."""
    if sheet.fusee:
        return pull_of_fusee(sheet).full_mnm
    one = full_torque(room_of(sheet), spring_of(sheet))
    return Measured(2 * one.value, 2 * one.u) if barrels_of(sheet) == IN_PARALLEL else one


def running_h(sheet: CalibreSheet) -> Measured:
    """Return the hours from fully wound to the last turn."""
    turns, hours = drive_turns(sheet), float(hours_per_turn(sheet))
    return Measured(turns.value * hours, turns.u * hours)


def torque_left_after(sheet: CalibreSheet, hours: float) -> Measured:
    """Return the share of the full torque that is left at the train after so many hours.

    Raises
    ------
    NotEnough : it has run down by then
    """
    turns = hours / float(hours_per_turn(sheet))
    if sheet.fusee:
        return fusee_left(room_of(sheet), spring_of(sheet), cone_of(sheet), turns_run=turns)
    each = turns / 2 if barrels_of(sheet) == IN_SERIES else turns
    return torque_left(room_of(sheet), spring_of(sheet), each)


def require_going_barrel(sheet: CalibreSheet) -> None:
    """Refuse to reckon a barrel that pulls a chain as if it were a going barrel.

    Raises
    ------
    NotEnough : the sheet has a fusee
    """
    if sheet.fusee:
        raise NotEnough(
            "not for a barrel with a fusee: the chain pulls it at a radius and a height that "
            "change as it runs, and its arbor is held by the set-up click, not by a ratchet under "
            "the crown wheel"
        )


def cone_of(sheet: CalibreSheet) -> Cone:
    """Return the sheet's fusee."""
    purpose = "the pull of the fusee"
    return Cone(
        turns=sheet.measured("fusee.turns", purpose),
        least_mm=sheet.measured("fusee.least_radius_mm", purpose),
        largest_mm=sheet.measured("fusee.largest_radius_mm", purpose),
        barrel_mm=sheet.measured("fusee.barrel_radius_mm", purpose),
        set_up_turns=sheet.measured("fusee.set_up_turns", purpose),
    )


def pull_of_fusee(sheet: CalibreSheet) -> Pull:
    """Return what the sheet's fusee makes of its barrel's torque; as `pull`."""
    return pull(room_of(sheet), spring_of(sheet), cone_of(sheet))


def pull(room: Room, spring: Spring, cone: Cone) -> Pull:
    """Return what a fusee makes of a barrel's torque.

    The chain takes turns x (least + largest)/2 / barrel turns of the barrel; at either end the
    torque at the fusee is the barrel's times the chain's radius there over the barrel's radius.

    Raises
    ------
    InputError : the chain takes more turns than the spring has

    References
    ----------
    Derived: the same chain leaves the barrel that the fusee takes; one pull, two radii
    """
    taken = propagate(
        barrel_turns_run, cone.turns, cone.turns, cone.least_mm, cone.largest_mm, cone.barrel_mm
    )
    available = turns_available(room, spring)
    wound = cone.set_up_turns.value + taken.value
    if wound > available.value:
        raise InputError(
            f"the chain takes {taken.text()} turns of the barrel and fusee.set_up_turns says "
            f"{cone.set_up_turns.text()}, but the spring has {available.text()}"
        )
    strong = torque(room, spring, wound)
    return Pull(
        full_mnm=propagate(lambda m, r, big: m * r / big, strong, cone.least_mm, cone.barrel_mm),
        barrel_turns=taken,
        last_over_full=fusee_left(room, spring, cone, turns_run=cone.turns.value),
    )


def barrel_turns_run(run: Any, turns: Any, least: Any, largest: Any, barrel: Any) -> Any:
    """Return the barrel's turns while the fusee makes `run` of its `turns` from fully wound."""
    return (least * run + (largest - least) * run**2 / (2 * turns)) / barrel


def fusee_left(room: Room, spring: Spring, cone: Cone, *, turns_run: float) -> Measured:
    """Return the share of the full torque at the fusee after it has turned so far.

    Raises
    ------
    NotEnough : the chain is all on the barrel by then
    """
    if turns_run > cone.turns.value:
        raise NotEnough(
            f"the fusee has run down after {cone.turns.text()} turns, {turns_run:.2f} asked for"
        )

    def formula(*sizes: Any) -> Any:
        bore, e, length, free, turns, least, largest, barrel, set_up = sizes
        whole = barrel_turns_run(turns, turns, least, largest, barrel)
        run = barrel_turns_run(turns_run, turns, least, largest, barrel)
        bent = coils_run_down(bore, e, length) + set_up + whole - free
        radius = least + (largest - least) * turns_run / turns
        return (bent - run) / bent * radius / least

    return propagate(
        formula,
        *(room.bore_mm, spring.thickness_mm, spring.length_mm, spring.free_turns),
        *(cone.turns, cone.least_mm, cone.largest_mm, cone.barrel_mm, cone.set_up_turns),
    )
