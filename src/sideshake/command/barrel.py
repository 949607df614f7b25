"""`sideshake barrel`: how far the barrel leans, whether it rubs, and what to do."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from sideshake.command.barrel_sizes import arbor_measured, outlook_grids, size_figures, sizes_grid
from sideshake.command.barrel_words import (
    bearing_grid,
    chronograph_sentences,
    depth_sentences,
    doubt_sentence,
    lean_grid,
    lean_sentence,
    memory_notes,
    notes,
    rubbing_grid,
)
from sideshake.command.measured import measurements_at
from sideshake.command.options import Json
from sideshake.command.say import CommandAnswer, save_picture, say
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, propagate
from sideshake.drawings.free_body import FreeBody, free_body_drawing
from sideshake.drawings.section import section_drawing, section_of
from sideshake.drawings.svg import svg_text
from sideshake.movement.mainspring import full_torque, room_of, spring_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_at
from sideshake.wear.ahead import ahead_sentences
from sideshake.wear.bearing import displacement, side_shake
from sideshake.wear.cause import HoleCause
from sideshake.wear.measurements import Bench, Measurements, bench
from sideshake.wear.mesh import PRESSURE_ANGLE_DEG, DepthChange, depth_change, side_pull_n
from sideshake.wear.tilt import along_now
from sideshake.wear.verdict import Verdict, verdict
from sideshake.wear.words import (
    PoseSeen,
    bore_sentences,
    cause_sentences,
    hole_causes,
    stance_sentences,
    stances_seen,
)
from sideshake.wear.worth import USUAL_COSTS, Costs


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
    calibre = calibre_of(sheet, found)
    lying = bench(calibre, found)
    costs = Costs(needless_min=needless_min, returns_min=returns_min)
    judged = verdict(replace(lying.case, costs=costs))
    drawn: list[str] = []
    if pictures:
        view = section_of(calibre, found, lying, judged)
        section = svg_text(section_drawing(view))
        drawn = [save_picture(pictures, "barrel-section.svg", section)]
        drawn += forces_drawn(pictures, calibre, lying)
    say(answer(calibre, lying, judged), as_json=as_json, drawn=drawn)


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


def calibre_of(sheet: str | None, found: Measurements) -> CalibreSheet:
    """Return the calibre named on the command line, else in the measurements.

    Raises
    ------
    InputError : neither names one, or they name two different ones
    """
    place = sheet or found.calibre
    if not place:
        raise InputError("name a calibre sheet, or measurements that name one")
    calibre = sheet_at(place)
    if sheet and found.calibre and sheet != found.calibre:
        named = sheet_at(found.calibre).name
        if named != calibre.name:
            raise InputError(
                f"the sheet {sheet} is of {calibre.name}, but the measurements say {named}"
            )
    return calibre


def answer(calibre: CalibreSheet, lying: Bench, judged: Verdict) -> CommandAnswer:
    """Return the whole answer: verdict, cause, gain, tables and figures."""
    causes = hole_causes(lying)
    seen = stances_seen(lying, judged)
    depth, pulled = depth_lost(calibre, lying), depth_under_pull(calibre, lying)
    sentences = [judged.sentence, *ahead_sentences(judged), lean_sentence(seen[0].lean, judged)]
    sentences += [*bore_sentences(lying, judged), *stance_sentences(lying, judged)]
    sentences += [doubt_sentence(lying, judged), *cause_sentences(causes)]
    if judged.gain:
        sentences.append(judged.gain.sentence)
    if arbor_measured(lying):
        sentences += depth_sentences(depth, pulled)
    sentences += chronograph_sentences(calibre)
    return CommandAnswer(
        schema="barrel",
        sentences=sentences,
        grids=[
            *outlook_grids(judged),
            bearing_grid(lying),
            lean_grid(seen),
            rubbing_grid(seen),
            sizes_grid(lying),
        ],
        notes=[*notes(lying, judged), *memory_notes(calibre)],
        figures=figures(calibre, judged, seen, causes)
        | {"mesh": {"at_most": depth, "under_pull": pulled}, "pivot_moves_mm": pivot_moves(lying)}
        | taken_from(lying)
        | {"sizes": size_figures(lying)},
    )


def taken_from(lying: Bench) -> dict[str, Any]:
    """Return what the figures rest on beside the measurements."""
    arbor = lying.case.barrel.arbor
    return {
        "bores": {"above": arbor.upper.bore, "below": arbor.lower.bore},
        "from_sheet": lying.from_sheet,
        "assumed": lying.assumed,
        "unusual": lying.unusual,
    }


def depth_lost(calibre: CalibreSheet, lying: Bench) -> DepthChange | None:
    """Return the most that the play can take from the mesh's depth; None without a module."""
    module, pair = module_of(calibre), lying.case.barrel.arbor
    if module is None:
        return None
    share = toothed_plane(calibre) / pair.span_mm.value
    moved = propagate(
        lambda lower, upper: (lower * (1 - share) + upper * share) / 2,
        side_shake(pair.lower),
        side_shake(pair.upper),
    )
    return depth_change(moved, module)


def depth_under_pull(calibre: CalibreSheet, lying: Bench) -> DepthChange | None:
    """Return what the loads under way take from the mesh's depth; None if one is not known."""
    module, running, partner = module_of(calibre), lying.case.running, lying.partner_deg
    if module is None or running is None or partner is None or running.taken:
        return None
    moved = along_now(lying.case.barrel, running, toothed_plane(calibre), partner + 180.0)
    return depth_change(moved, module)


def pivot_moves(lying: Bench) -> dict[str, Measured]:
    """Return how far the loads under way move each pivot; empty if one is not known."""
    running, pair = lying.case.running, lying.case.barrel.arbor
    if running is None or running.taken:
        return {}
    return {
        "above": displacement(pair.upper, running.upper_deg),
        "below": displacement(pair.lower, running.lower_deg),
    }


def module_of(calibre: CalibreSheet) -> Measured | None:
    """Return the module of the barrel's mesh, if the sheet has it; a fusee's barrel has none."""
    arbors = calibre.train.arbors if calibre.train and not calibre.fusee else ()
    return arbors[1].pinion_module_mm if len(arbors) > 1 else None


def toothed_plane(calibre: CalibreSheet) -> float:
    """Return the height of the teeth above the lower bearing (mm)."""
    return calibre.measured("barrel.toothed_plane_mm", "the mesh's depth").value


def pull_of(calibre: CalibreSheet) -> Measured | None:
    """Return the side pull of the fully wound spring at the teeth (N); None if not computable."""
    try:
        torque = full_torque(room_of(calibre), spring_of(calibre))
        radius = calibre.measured("barrel.pitch_radius_mm", "the side pull")
    except InputError:
        return None  # the sheet need not describe the spring for a verdict
    return side_pull_n(torque, radius, PRESSURE_ANGLE_DEG)


def figures(
    calibre: CalibreSheet,
    judged: Verdict,
    seen: tuple[PoseSeen, ...],
    causes: list[tuple[str, HoleCause]],
) -> dict[str, Any]:
    """Return the figures for other programs."""
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
        "lean": seen[0].lean,
        "stances": seen,
        "causes": dict(causes),
        "gain": judged.gain,
        "side_pull_n": pull_of(calibre),
        "outlook": judged.outlook,
    }
