"""`sideshake barrel`: how far the barrel leans, whether it rubs, and what to do."""

from pathlib import Path
from typing import Any

from sideshake.analysis.barrel import BarrelJudged, judge_barrel
from sideshake.analysis.barrel_words import memory_notes
from sideshake.analysis.on_bench import laid_out
from sideshake.command.barrel_sizes import outlook_grids, size_figures, sizes_grid
from sideshake.command.barrel_words import (
    bearing_grid,
    doubt_sentence,
    lean_grid,
    notes,
    rubbing_grid,
)
from sideshake.command.measured import calibre_of, measurements_at
from sideshake.command.options import Json
from sideshake.command.say import CommandAnswer, save_picture, say
from sideshake.drawings.free_body import FreeBody, free_body_drawing
from sideshake.drawings.section import section_drawing, section_of
from sideshake.drawings.svg import svg_text
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.ahead import ahead_sentences
from sideshake.wear.measurements import Bench
from sideshake.wear.worth import USUAL_COSTS, Costs
from sideshake.workshop_rules.repair import Lying


def barrel(
    sheet: str | None = None,
    *,
    measured: str | None = None,
    hole_above_mm: str | None = None,
    pivot_above_mm: str | None = None,
    hole_below_mm: str | None = None,
    pivot_below_mm: str | None = None,
    endshake_mm: str | None = None,
    gap_bridge_mm: str | None = None,
    gap_plate_mm: str | None = None,
    amplitude_deg: float | None = None,
    needless_min: float = USUAL_COSTS.needless_min,
    returns_min: float = USUAL_COSTS.returns_min,
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Tell how far a barrel leans, how likely it rubs, and what to do about it.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as tarnbrook-31).
    measured
        A file of measurements, or the name of the shipped one: leaning-barrel.
    hole_above_mm
        The hole in the bridge, with its 95 % interval: 1.012+-0.008; or several readings of it.
    pivot_above_mm
        The pivot in it.
    hole_below_mm
        The hole in the plate.
    pivot_below_mm
        The pivot in it.
    endshake_mm
        The arbor's endshake.
    gap_bridge_mm
        The gap from rim to bridge, arbor upright in the middle of its endshake.
    gap_plate_mm
        The gap from rim to plate, likewise.
    amplitude_deg
        The amplitude now: what can the repair bring?
    needless_min
        Minutes that a new hole costs which nobody needed; weighs what a measurement is worth.
    returns_min
        Minutes that a rubbing barrel costs which comes back; likewise.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the section and for the forces on the arbor.
    """
    changes = {
        "above.hole_mm": hole_above_mm,
        "above.pivot_mm": pivot_above_mm,
        "below.hole_mm": hole_below_mm,
        "below.pivot_mm": pivot_below_mm,
        "barrel.endshake_mm": endshake_mm,
        "barrel.gap_bridge_mm": gap_bridge_mm,
        "barrel.gap_plate_mm": gap_plate_mm,
        "amplitude_deg": amplitude_deg,
    }
    found = measurements_at(measured, changes)
    lying = laid_out(calibre_of(sheet, found), found)
    said = judge_barrel(lying, costs=Costs(needless_min=needless_min, returns_min=returns_min))
    drawn: list[str] = []
    if pictures:
        view = section_of(lying.calibre, found, lying.bench, said.verdict)
        section = svg_text(section_drawing(view))
        drawn = [save_picture(pictures, "barrel-section.svg", section)]
        drawn += forces_drawn(pictures, lying.calibre, lying.bench)
    say(answer(lying, said), as_json=as_json, drawn=drawn)


def forces_drawn(pictures: Path, calibre: CalibreSheet, lying: Bench) -> list[str]:
    """Return the name of the drawing of the loads; none where they are not reckoned."""
    stances = (("under way", lying.case.running), ("while it is wound", lying.case.winding))
    view = FreeBody(
        title=f"What loads the barrel arbor of a {calibre.name}",
        barrel=lying.case.barrel,
        stances=tuple((words, stance) for words, stance in stances if stance),
    )
    if not view.stances:
        return []
    return [save_picture(pictures, "barrel-forces.svg", svg_text(free_body_drawing(view)))]


def answer(lying: Lying, said: BarrelJudged) -> CommandAnswer:
    """Return the whole answer: verdict, cause, gain, tables and figures."""
    calibre, on_bench, judged = lying.calibre, lying.bench, said.verdict
    sentences = [judged.sentence, *ahead_sentences(judged), *said.standing]
    sentences += [doubt_sentence(on_bench, judged), *said.worn]
    if judged.gain:
        sentences.append(judged.gain.sentence)
    return CommandAnswer(
        schema="barrel",
        sentences=[*sentences, *said.meshing],
        grids=[
            *outlook_grids(judged),
            bearing_grid(said.bearings),
            lean_grid(said.leans),
            rubbing_grid(said.gaps),
            sizes_grid(on_bench),
        ],
        notes=[*notes(on_bench, judged), *memory_notes(calibre)],
        figures=figures(calibre, said)
        | {
            "mesh": {"at_most": said.depth_at_most, "under_pull": said.depth_under_pull},
            "pivot_moves_mm": said.pivot_moves_mm,
        }
        | taken_from(on_bench)
        | {"sizes": size_figures(on_bench)},
    )


def taken_from(on_bench: Bench) -> dict[str, Any]:
    """Return what the figures rest on beside the measurements."""
    arbor = on_bench.case.barrel.arbor
    return {
        "bores": {"above": arbor.upper.bore, "below": arbor.lower.bore},
        "from_sheet": on_bench.from_sheet,
        "assumed": on_bench.assumed,
        "unusual": on_bench.unusual,
    }


def figures(calibre: CalibreSheet, said: BarrelJudged) -> dict[str, Any]:
    """Return the figures for other programs."""
    judged = said.verdict
    return {
        "calibre": calibre.name,
        "action": judged.action,
        "places": judged.places,
        "free": judged.free,
        "running": judged.running,
        "running_kindest": judged.running_kindest,
        "winding": judged.winding,
        "winding_kindest": judged.winding_kindest,
        "worn_above": judged.worn_above,
        "worn_below": judged.worn_below,
        "options": judged.options,
        "lean": said.poses[0].lean,
        "stances": said.poses,
        "causes": said.causes,
        "gain": judged.gain,
        "side_pull_n": said.side_pull_n,
        "outlook": judged.outlook,
    }
