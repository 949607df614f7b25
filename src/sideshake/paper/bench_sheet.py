"""The bench sheet: the fit and the order of work, to lie beside the plate.

Read at arm's length, so large, and two pages at most: the longer the plan, the less is said of each
step (its words are on the visit's page too).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import IntEnum
from typing import Any

from sideshake.errors import InputError
from sideshake.paper.blocks import Letterhead, Paper
from sideshake.paper.hole_fit import HoleFit, ToNote
from sideshake.paper.typeset import Sheet, pages

MOST_PAGES = 2
COARSE = 8.0
"""Pixels per inch of pages that are only counted."""
CARE = (
    "Mainspring let down and the click held before any bridge is loosened.",
    "Eye protection at reamer and lathe.",
    "Read the safety data sheets; the law where you work comes first.",
)


class Detail(IntEnum):
    """How much is said of each step: its number is that of the columns the steps stand in."""

    FULL = 1
    CAUTIONS = 2
    TITLES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One step to be done, with what can go wrong in it."""

    title: str
    how: str = ""
    caution: str = ""

    def said(self, detail: Detail) -> Mapping[str, str]:
        """Return what is said of the step."""
        return {
            "title": self.title,
            "how": self.how if detail is Detail.FULL else "",
            "caution": self.caution if detail <= Detail.CAUTIONS else "",
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchSheet:
    """What lies beside the plate while the work is done; `to_note` is for what no fit names."""

    head: Letterhead
    day: date
    printed: str = ""
    """The day as the workshop writes days."""
    visit: str
    watch: str
    calibre: str
    jobs: tuple[Job, ...]
    holes: tuple[HoleFit, ...] = ()
    to_note: tuple[ToNote, ...] = ()
    paper: Paper = Paper.A4

    def __post_init__(self) -> None:
        if not self.jobs and not self.holes:
            raise InputError(f"visit {self.visit}: a bench sheet needs a step or a fit")

    @property
    def cautions(self) -> tuple[str, ...]:
        """Return what can hurt, each once."""
        told = (caution for hole in self.holes for caution in hole.cautions)
        return tuple(dict.fromkeys(told)) or CARE


def bench_sheet(told: BenchSheet) -> Sheet:
    """Return the bench sheet with as much said of each step as two pages hold."""
    for detail in (Detail.FULL, Detail.CAUTIONS):
        sheet = bench_sheet_with(told, detail)
        if len(pages(sheet, pixels_per_inch=COARSE)) <= MOST_PAGES:
            return sheet
    return bench_sheet_with(told, Detail.TITLES)


def bench_sheet_with(told: BenchSheet, detail: Detail) -> Sheet:
    """Return the bench sheet with so much said of each step."""
    return Sheet(
        template="bench_sheet.typ",
        day=told.day,
        said={
            "watch": told.watch,
            "name": told.head.name,
            "visit": told.visit,
            "calibre": told.calibre,
            "day": told.printed or told.day.isoformat(),
            "paper": told.paper.value,
            "cautions": list(told.cautions),
            "holes": [said_of(hole, told.holes[:place]) for place, hole in enumerate(told.holes)],
            "columns": min(detail.value, len(told.jobs)),
            "jobs": [job.said(detail) for job in told.jobs],
            "to_note": [[each.what, each.expected] for each in told.to_note],
        },
        pictures={hole.drawing.name: hole.drawing.data for hole in told.holes},
    )


def said_of(hole: HoleFit, before: tuple[HoleFit, ...]) -> Mapping[str, Any]:
    """Return a hole's fit as the template reads it; steps told for an earlier hole are left out."""
    told = {step for each in before for step in each.steps}
    steps = [step for step in hole.steps if step not in told]
    return {
        "title": hole.title,
        "facts": [list(pair) for pair in hole.facts],
        "drawing": hole.drawing.name,
        "alt": hole.drawing.alt,
        "lead": "As for the hole before, but:" if len(steps) < len(hole.steps) else "",
        "steps": steps,
        "to_note": [[each.what, each.expected] for each in hole.to_note],
    }
