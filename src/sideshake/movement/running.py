"""How long a watch runs: what its spring gives, less what the watch does not use.

Not used are the last turns, which no longer keep the balance going; the turns by which a bridle
slips before full wind; what a stop work keeps back. A barrel's efficiency takes torque and no
turns, unless the torque gives out before the turns do.
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from math import pi
from typing import Any

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import COVERAGE_FACTOR, Measured, propagate
from sideshake.movement.energy import ONCE, losses_of, torque_share
from sideshake.movement.escapement import limits_of
from sideshake.movement.fusee import cone_of, taken_turns
from sideshake.movement.mainspring import (
    FULLY,
    MNM_PER_NM,
    Spring,
    SpringRoom,
    bent,
    room_of,
    spring_of,
    turns_available,
)
from sideshake.movement.sheet import CalibreSheet, Mainspring

USUAL_LAST_TURNS = Measured(0.75, 0.29)
"""A quarter of a turn to one and a quarter (from memory: the last half turn to a turn is steep)."""
USUAL_BRIDLE_TURNS = Measured(0.5, 0.29)
"""A slipping bridle lets go somewhere within the last turn to full wind (from memory)."""
USUAL_EFFICIENCY = Measured(0.85, 0.029)
"""0.80 to 0.90, anywhere between (from memory)."""
USUAL_STOP_SHARE = Measured(0.67, 0.08)
"""A stop work lets the middle four of six turns through (from memory; trade-facts 6.19)."""
COUNTING_STOPS = ("maltese cross", "finger")
STOPPING_DEG = Measured(110.0, 15.0)
"""Below about this amplitude, lying, a lever watch stops (from memory)."""


class UnusedTurns(StrEnum):
    """What keeps turns of the spring from the watch."""

    LAST_TURNS = "the last turns"
    WEAK = "too little torque at the end"
    BRIDLE = "the bridle slips"
    STOP_WORK = "the stop work"
    COUNTED = "by the count"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unused:
    """Turns of the spring that the watch does not use."""

    part: UnusedTurns
    turns: Measured
    from_memory: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """What a watch uses of its spring.

    `unwound` is how many turns below full wind of the spring the watch is when it is wound.
    """

    spring_turns: Measured
    turns: Measured
    unwound: Measured
    unused: tuple[Unused, ...]
    efficiency: Measured
    efficiency_from_memory: bool
    gives: Measured = ONCE
    """Torque at the teeth over that of a sound barrel of this calibre."""


def running_of(
    sheet: CalibreSheet,
    *,
    counted: Measured | None = None,
    efficiency: Measured | None = None,
) -> Running:
    """Return what the watch uses of the sheet's spring.

    Parameters
    ----------
    counted : turns of the barrel counted from fully wound to stopped; they replace the estimates
    efficiency : barrel efficiency found on this watch; the sheet's is that of a sound one

    Raises
    ------
    Lacking : the sheet does not describe room and spring
    InputError : the stop work lets more turns through than the spring makes, or nothing is left
    NotEnough : so little torque is left that the watch does not run

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> running_of(shipped_sheet("tarnbrook-31")).turns.text()
    '6.4 ± 0.6'
    """
    room, spring = room_of(sheet), spring_of(sheet)
    turns = turns_available(room, spring)
    lines = used_lines(sheet)
    if lines.stop_work_turns:
        whole = between_stops(lines, turns)
    elif has_stop_work(sheet):
        whole = between_stops(usual_stops(lines, turns), turns, from_memory=True)
    else:
        whole = without_stops(lines, turns)
    if efficiency is not None:
        whole = with_efficiency(whole, efficiency)
    if counted is not None:
        return as_counted(whole, counted)
    giving = turns_giving_enough(sheet, whole)
    if giving is not None and giving.value < whole.turns.value:
        whole = weaker(whole, giving)
    if whole.turns.value <= 0:
        raise InputError(f"of the spring's {turns.text()} turns none is left for the watch")
    return whole


def used_lines(sheet: CalibreSheet) -> Mainspring:
    """Return the lines on what is used; a fusee's chain and set-up stand for a stop work."""
    lines = sheet.mainspring or Mainspring()
    if sheet.fusee is None:
        return lines
    cone = cone_of(sheet)
    own = {"stop_work_turns": taken_turns(cone), "set_up_turns": cone.set_up_turns}
    return lines.model_copy(update=own)


def has_stop_work(sheet: CalibreSheet) -> bool:
    """Return whether the sheet names a stop work that counts turns."""
    return sheet.drive is not None and sheet.drive.stop_work in COUNTING_STOPS


def usual_stops(lines: Mainspring, turns: Measured) -> Mainspring:
    """Return the lines with the turns that a stop work usually lets through."""
    used = propagate(lambda all_, share: all_ * share, turns, USUAL_STOP_SHARE)
    if lines.set_up_turns and used.value > turns.value - lines.set_up_turns.value:
        used = propagate(lambda all_, below: all_ - below, turns, lines.set_up_turns)
    return lines.model_copy(update={"stop_work_turns": used})


def without_stops(lines: Mainspring, turns: Measured) -> Running:
    """Return what is used of a spring that is wound as far as it goes and runs down."""
    bridle = lines.bridle_turns or (USUAL_BRIDLE_TURNS if lines.slipping_bridle else FULLY)
    last = lines.last_turns or USUAL_LAST_TURNS
    taken = (
        (UnusedTurns.BRIDLE, bridle, lines.bridle_turns),
        (UnusedTurns.LAST_TURNS, last, lines.last_turns),
    )
    return Running(
        spring_turns=turns,
        turns=propagate(lambda all_, one, other: all_ - one - other, turns, bridle, last),
        unwound=bridle,
        unused=tuple(
            Unused(part=part, turns=lost, from_memory=own is None)
            for part, lost, own in taken
            if lost.value > 0
        ),
        efficiency=lines.efficiency or USUAL_EFFICIENCY,
        efficiency_from_memory=lines.efficiency is None,
    )


def between_stops(lines: Mainspring, turns: Measured, *, from_memory: bool = False) -> Running:
    """Return what is used of a spring between the two ends of a stop work.

    Raises
    ------
    InputError : the stop work and its set-up need more turns than the spring makes
    """
    used, set_up = lines.stop_work_turns or FULLY, lines.set_up_turns or FULLY
    left = propagate(lambda all_, some: all_ - some, turns, used)
    if set_up.value - left.value > COVERAGE_FACTOR * (left.u**2 + set_up.u**2) ** 0.5:
        with_set_up = f" after {set_up.text()} turns of set-up" if set_up.value else ""
        raise InputError(
            f"mainspring.stop_work_turns says {used.text()}{with_set_up}, but the spring makes "
            f"only {turns.text()} turns"
        )
    above = propagate(
        lambda rest, below: rest - below if lines.set_up_turns else rest / 2, left, set_up
    )
    return Running(
        spring_turns=turns,
        turns=used,
        unwound=above if above.value > 0 else FULLY,
        unused=(Unused(part=UnusedTurns.STOP_WORK, turns=left, from_memory=from_memory),),
        efficiency=lines.efficiency or USUAL_EFFICIENCY,
        efficiency_from_memory=lines.efficiency is None,
    )


def with_efficiency(whole: Running, efficiency: Measured) -> Running:
    """Return the same with the barrel efficiency found on this watch."""
    if not 0 < efficiency.value <= 1:
        raise InputError(f"a barrel's efficiency lies between 0 and 1, got {efficiency.text()}")
    gives = propagate(lambda one, other: one / other, efficiency, whole.efficiency)
    return replace(whole, efficiency=efficiency, efficiency_from_memory=False, gives=gives)


def as_counted(whole: Running, counted: Measured) -> Running:
    """Return what is used by turns that somebody counted; nothing else is taken off."""
    if counted.value <= 0:
        raise InputError(f"the barrel must turn, got {counted.text()} turns")
    left = propagate(lambda all_, some: all_ - some, whole.spring_turns, counted)
    unused = (Unused(part=UnusedTurns.COUNTED, turns=left),) if left.value > 0 else ()
    return replace(whole, turns=counted, unused=unused)


def weaker(whole: Running, giving: Measured) -> Running:
    """Return what is used when the torque gives out before the turns do."""
    kept = tuple(each for each in whole.unused if each.part is not UnusedTurns.LAST_TURNS)
    lost = propagate(lambda all_, some: all_ - some, whole.spring_turns, giving)
    if whole.unwound.value and any(each.part is UnusedTurns.BRIDLE for each in kept):
        lost = propagate(lambda all_, some: all_ - some, lost, whole.unwound)
    return replace(
        whole,
        turns=giving,
        unused=(*kept, Unused(part=UnusedTurns.WEAK, turns=lost, from_memory=True)),
    )


def turns_giving_enough(sheet: CalibreSheet, whole: Running) -> Measured | None:
    """Return after how many turns the torque no longer keeps the balance going; None if unknown.

    The nominal amplitude belongs to the torque of a sound barrel; what an amplitude of 110° needs
    follows from it by the loss model. A watch whose barrel gives less has less to spend.

    Raises
    ------
    NotEnough : the watch does not run even when it is wound
    """
    nominal = sheet.nominal.lying_full_deg if sheet.nominal else None
    if limits_of(sheet).losses_unknown or sheet.fusee:
        return None
    if nominal is None or nominal.value <= STOPPING_DEG.value:
        return None
    need = torque_share(losses_of(sheet), STOPPING_DEG)
    room, spring = room_of(sheet), spring_of(sheet)
    found = propagate(
        lambda core, e, length, less, share, given: (
            bent(core, e, length, less) * (1 - share / given)
        ),
        *(room.core_mm, spring.thickness_mm, spring.length_mm),
        propagate(lambda free, down: free + down, spring.free_turns, whole.unwound),
        *(need, whole.gives),
    )
    if found.value <= 0:
        raise NotEnough(
            f"a barrel that gives {100 * whole.gives.value:.0f} % of a sound one's torque does not "
            "keep this balance going"
        )
    return found


def first_torque(room: SpringRoom, spring: Spring, whole: Running) -> Measured:
    """Return the strip's torque when the watch is fully wound, in mN·m, friction left out."""

    def formula(*sizes: Any) -> Any:
        core, e, height, length, gpa, less = sizes
        return MNM_PER_NM * pi * gpa * height * e**3 * bent(core, e, length, less) / (6 * length)

    return propagate(
        formula,
        *(room.core_mm, spring.thickness_mm, spring.height_mm, spring.length_mm),
        spring.elastic_gpa,
        propagate(lambda free, down: free + down, spring.free_turns, whole.unwound),
    )


def torque_at_the_teeth(torque_mnm: Measured, whole: Running) -> Measured:
    """Return what reaches the barrel's teeth of the strip's torque, in mN·m."""
    return propagate(lambda all_, share: all_ * share, torque_mnm, whole.efficiency)
