"""The bench sheet: the fit and the order of work, to lie beside the plate.

Read at arm's length, so large, and two pages at most: the longer the plan, the less is said of each
step (its words are on the visit's page too).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import IntEnum
from typing import Any

from sideshake.core.errors import InputError
from sideshake.documents.blocks import Letterhead, Paper, Picture
from sideshake.documents.hole_fit import HoleFit, ToNote
from sideshake.documents.typeset import PageMark, Sheet, marks

MOST_PAGES = 2
AIR = (0.75, 0.5, 1.5, 2.0, 2.5, 3.0)
"""Room between the steps, as shares of the usual one, in the order they are tried."""
LEAST_DOWN_MM = 90.0
"""So far down the second page goes at least: it is not nearly empty."""
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
class SheetJob:
    """One step to be done, with what can go wrong in it."""

    title: str
    how: str = ""
    caution: str = ""
    done: bool = False
    """Whether it is ticked already: then nothing more needs to be said of it."""

    def said(self, detail: Detail) -> Mapping[str, Any]:
        """Return what is said of the step."""
        return {
            "title": self.title,
            "how": self.how if detail is Detail.FULL and not self.done else "",
            "caution": self.caution if detail <= Detail.CAUTIONS and not self.done else "",
            "done": self.done,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class LostTeeth:
    """A wheel that lost teeth: which ones, in words, and the photograph in which they are seen."""

    title: str
    words: str
    picture: Picture | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchSheet:
    """What lies beside the plate while the work is done; `to_note` is for what no fit names."""

    head: Letterhead
    day: date
    written: str = ""
    """The day of the newest record, as the workshop writes days."""
    visit: str
    watch: str
    calibre: str
    case_number: str = ""
    movement_number: str = ""
    jobs: tuple[SheetJob, ...]
    holes: tuple[HoleFit, ...] = ()
    to_note: tuple[ToNote, ...] = ()
    lost_teeth: tuple[LostTeeth, ...] = ()
    of_this_watch: tuple[str, ...] = ()
    """What can hurt at this watch; it stands before the other cautions."""
    paper: Paper = Paper.A4

    def __post_init__(self) -> None:
        if not self.jobs and not self.holes:
            raise InputError(f"visit {self.visit}: a bench sheet needs a step or a fit")

    @property
    def cautions(self) -> tuple[str, ...]:
        """Return what can hurt, each once."""
        told = (caution for hole in self.holes for caution in hole.cautions)
        return (*self.of_this_watch, *(tuple(dict.fromkeys(told)) or CARE))


def bench_sheet(told: BenchSheet) -> Sheet:
    """Return the bench sheet with as much said of each step as two pages hold.

    A second page that would be nearly empty is filled by more room between the steps.
    """
    for detail in (Detail.FULL, Detail.CAUTIONS):
        usual = bench_sheet_with(told, detail)
        end = marks(usual)[-1]
        if end.page > MOST_PAGES:
            continue
        if is_filled(end):
            return usual
        airy = (bench_sheet_with(told, detail, air=air) for air in AIR)
        return next((each for each in airy if is_filled(marks(each)[-1])), usual)
    return bench_sheet_with(told, Detail.TITLES)


def is_filled(end: PageMark) -> bool:
    """Return whether a sheet that ends there is one page, or two, the second not nearly empty."""
    return end.page == 1 or (end.page == MOST_PAGES and end.down_mm >= LEAST_DOWN_MM)


def bench_sheet_with(told: BenchSheet, detail: Detail, *, air: float = 1.0) -> Sheet:
    """Return the bench sheet with so much said of each step, and so much room between them."""
    return Sheet(
        template="bench_sheet.typ",
        day=told.day,
        said={
            "watch": told.watch,
            "name": told.head.name,
            "visit": told.visit,
            "calibre": told.calibre,
            "case_number": told.case_number,
            "movement_number": told.movement_number,
            "day": told.written or told.day.isoformat(),
            "air": air,
            "paper": told.paper.value,
            "cautions": list(told.cautions),
            "holes": [said_of(hole, told.holes[:place]) for place, hole in enumerate(told.holes)],
            "lost_teeth": [
                {
                    "title": each.title,
                    "words": each.words,
                    "picture": each.picture.name if each.picture else "",
                    "alt": each.picture.alt if each.picture else "",
                }
                for each in told.lost_teeth
            ],
            "columns": min(detail.value, len(told.jobs)),
            "jobs": [job.said(detail) for job in told.jobs],
            "to_note": [[each.what, each.expected] for each in told.to_note],
        },
        pictures={each.name: each.data for each in pictures_on(told)},
    )


def pictures_on(told: BenchSheet) -> tuple[Picture, ...]:
    """Return the drawings of the holes and the photographs of wheels."""
    photographs = (each.picture for each in told.lost_teeth)
    return (*(hole.drawing for hole in told.holes), *(each for each in photographs if each))


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
