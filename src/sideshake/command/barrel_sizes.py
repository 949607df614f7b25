"""What `sideshake barrel` says of each size: how it is known, and what is worth measuring."""

from typing import Any

from sideshake.command.say import Grid
from sideshake.core.quantities import Measured
from sideshake.wear.barrel_size import BarrelSize
from sideshake.wear.growth import SHAPE_SOURCE
from sideshake.wear.measure_first import limit_words
from sideshake.wear.measurements import Bench
from sideshake.wear.verdict import Verdict

SHOWN = 6
"""Measurements shown, the most value for a minute first."""


def outlook_grids(judged: Verdict) -> list[Grid]:
    """Return the tables of what would have to be true, and of what to measure; none if all was."""
    ahead = judged.outlook
    if ahead is None:
        return []
    limits = Grid(
        title="The barrel rubs if one size is (mm), the rest as is most likely",
        columns=["not measured", "limit", "taken as now"],
        rows=[[each.size.words, limit_words(each), each.size.text] for each in ahead.conditions],
    )
    rows = [
        [
            each.size.words,
            each.instrument.name,
            Measured(each.size.value.value, each.instrument.u_mm).text().split()[-1],
            f"{each.instrument.minutes:.0f}",
            f"{each.value_min:.0f}",
            f"{each.per_minute:.1f}",
        ]
        for each in ahead.worth[:SHOWN]
        if each.pays
    ]
    worth = Grid(
        title="What to measure (mm, minutes)",
        columns=["size", "with", "±", "takes", "saves", "a minute"],
        rows=rows,
        numbers=(2, 3, 4, 5),
    )
    return [grid for grid in (limits, worth) if grid.rows]


def sizes_grid(lying: Bench) -> Grid:
    """Return the table of every size and where it comes from."""
    return Grid(
        title="Sizes (mm), and how each is known",
        columns=["size", "taken as", "known"],
        rows=[[each.words, each.text, source_of(each)] for each in lying.sizes],
        numbers=(1,),
    )


def source_of(each: BarrelSize) -> str:
    """Return whether a size was measured, stands in the sheet or is assumed, and its wear."""
    if not each.wear_mm:
        return each.source
    return f"{each.source}, wear unknown"


def size_figures(lying: Bench) -> dict[str, Any]:
    """Return every size with its source, for other programs."""
    return {
        each.words: {
            "value": each.value,
            "source": each.source,
            "as_new": each.new if each.wear_mm else None,
        }
        for each in lying.sizes
    }


def unmeasured_notes(lying: Bench) -> list[str]:
    """Return what was taken from the sheet, what was assumed, and how wear is taken."""
    said = []
    if lying.from_sheet:
        said.append(f"Not measured, taken from the sheet: {', '.join(lying.from_sheet)}.")
    if lying.assumed:
        said.append(
            "Neither measured nor in the sheet, assumed by common practice, no source: "
            f"{', '.join(lying.assumed)}."
        )
    if any(each.wear_mm for each in lying.case.barrel.known):
        said.append(f"The life of this watch is not known: {SHAPE_SOURCE}.")
    return said


def cost_notes(judged: Verdict) -> list[str]:
    """Return what the worth of a measurement rests on; empty where all was measured."""
    if judged.outlook is None:
        return []
    costs = judged.outlook.costs
    return [
        f"A measurement is worth what it saves: a new hole nobody needed counts as "
        f"{costs.needless_min:g} minutes, a rubbing barrel that comes back as "
        f"{costs.returns_min:g}; minutes and uncertainties of instruments are common practice, no "
        "source."
    ]
