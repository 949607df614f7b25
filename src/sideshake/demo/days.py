"""When each step of a visit was reached."""

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import get_args

from sideshake.core.errors import InputError
from sideshake.demo.script import VisitScript
from sideshake.demo.visit import Step

STEPS: tuple[Step, ...] = get_args(Step)
ROAD = STEPS[:-1]
"""The steps in order, without "declined", which may end the way anywhere."""
PAUSES = {
    "looked-over": (1, 3),
    "proposed": (1, 4),
    "agreed": (1, 8),
    "on-the-bench": (9, 24),
    "on-test": (3, 9),
    "ready": (5, 8),
    "gone-home": (1, 6),
}
"""Days from one step to the next, at least and at most."""
SMALL_BENCH = (1, 5)
"""A small job does not wait as long for the bench."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """The dates of the steps that were reached; a visit that ended early lacks the others."""

    arrived: date
    offsets: dict[str, int]

    def on(self, step: str, *, later: int = 0) -> date:
        """Return the date of a reached step, or some days after it."""
        if step not in self.offsets:
            raise InputError(f"the visit never came to the step {step!r}")
        return self.arrived + timedelta(days=self.offsets[step] + later)

    def reached(self, step: str) -> bool:
        """Return whether the step was reached."""
        return step in self.offsets


def days_of(script: VisitScript, today: date, random: Random) -> Days:
    """Return when the visit came to each of its steps, none of them after today."""
    offsets, at = {"arrived": 0}, 0
    for step in way(script):
        least, most = SMALL_BENCH if script.small and step == "on-the-bench" else PAUSES[step]
        at += random.randint(least, most)
        offsets[step] = at
    if script.second:
        offsets = around(offsets, script.second.after_day)
    offsets = squeezed(offsets, script.ago)
    if script.step == "declined":
        offsets["declined"] = max(offsets.values())
    return Days(arrived=today - timedelta(days=script.ago), offsets=offsets)


def way(script: VisitScript) -> tuple[Step, ...]:
    """Return the steps after the arrival that the visit went through."""
    if script.step == "declined":
        return ROAD[1:4] if script.options else ROAD[1:2]
    return ROAD[1 : ROAD.index(script.step) + 1]


def around(offsets: dict[str, int], day: int) -> dict[str, int]:
    """Return the days with the bench begun before `day` and the tests a month after it."""
    late = max(0, day + 28 - offsets["on-test"])
    moved = {step: at + late if at >= offsets["on-test"] else at for step, at in offsets.items()}
    return moved | {"on-the-bench": min(offsets["on-the-bench"], day - 3)}


def squeezed(offsets: dict[str, int], most: int) -> dict[str, int]:
    """Return the days drawn together so that the last is not after today."""
    last = max(offsets.values())
    if last <= most:
        return offsets
    return {step: at * most // last for step, at in offsets.items()}
