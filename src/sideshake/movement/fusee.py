"""A fusee: the cone a barrel pulls by a chain, so that the force stays even.

Its radius is taken to grow evenly from turn to turn.
"""

from dataclasses import dataclass
from typing import Any

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.mainspring import (
    Spring,
    SpringRoom,
    coils_run_down,
    room_of,
    spring_of,
    torque,
    turns_available,
)
from sideshake.movement.sheet import CalibreSheet


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


def pull(room: SpringRoom, spring: Spring, cone: Cone) -> Pull:
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
    taken = taken_turns(cone)
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


def fusee_left(room: SpringRoom, spring: Spring, cone: Cone, *, turns_run: float) -> Measured:
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


def taken_turns(cone: Cone) -> Measured:
    """Return the turns of the barrel that the chain takes."""
    return propagate(
        barrel_turns_run, cone.turns, cone.turns, cone.least_mm, cone.largest_mm, cone.barrel_mm
    )
