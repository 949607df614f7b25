"""`sideshake barrel`: how far the barrel leans, whether it rubs, and what to do."""

from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from sideshake.command.measured import measurements_at
from sideshake.command.say import Answer, Grid, save_picture, say
from sideshake.errors import InputError
from sideshake.movement.mainspring import full_torque, room_of, spring_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_at
from sideshake.pictures.section import SectionView, section_drawing
from sideshake.pictures.svg import svg_text
from sideshake.quantities import Measured, propagate
from sideshake.wear.bearing import Bearing, normal_play, ovality, probability_worn, side_shake
from sideshake.wear.cause import HoleCause, cause_of, loads_on
from sideshake.wear.measurements import Bench, Measurements, bench
from sideshake.wear.mesh import (
    PRESSURE_ANGLE_DEG,
    DepthChange,
    coupling_jump_s,
    depth_change,
    side_pull_n,
)
from sideshake.wear.rubbing import Rubbing, chance_short, rubbing
from sideshake.wear.tilt import Lean, lean, worst_stance
from sideshake.wear.verdict import Verdict, verdict

GUESSED_THICKNESS_MM = 0.5
MEMORY = (
    "Normal plays come from the sheet, else from the trade's table (from memory); the limit of "
    "twice the normal play is common practice without a source."
)


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
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
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
        The hole in the bridge, with its standard uncertainty: 1.012+-0.004.
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
    as_json
        Write JSON instead of words.
    pictures
        A folder for the section.
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
    judged = verdict(lying.case)
    if pictures:
        view = section_of(calibre, found, lying, judged)
        save_picture(pictures, "barrel-section.svg", svg_text(section_drawing(view)))
    say(answer(calibre, lying, judged, pictures), as_json=as_json)


def calibre_of(sheet: str | None, found: Measurements) -> CalibreSheet:
    """Return the calibre named on the command line, else in the measurements.

    Raises
    ------
    InputError : neither names one, or they name two different ones
    """
    if sheet and found.calibre and sheet != found.calibre:
        raise InputError(f"the sheet {sheet} is given, but the measurements say {found.calibre}")
    place = sheet or found.calibre
    if not place:
        raise InputError("name a calibre sheet, or measurements that name one")
    return sheet_at(place)


def answer(calibre: CalibreSheet, lying: Bench, judged: Verdict, pictures: Path | None) -> Answer:
    """Return the whole answer: verdict, cause, gain, tables and figures."""
    causes = hole_causes(lying)
    leaning = lean(lying.case.barrel, judged.free.stance, lying.rim_radius_mm)
    depth = depth_lost(calibre, lying)
    sentences = [judged.sentence, lean_sentence(leaning), doubt_sentence(judged)]
    sentences += [
        f"Hole {place}: {each.sentence}" for place, each in causes if each.ovality_mm.value
    ]
    if judged.gain:
        sentences.append(judged.gain.sentence)
    sentences += depth_sentences(depth) + chronograph_sentences(calibre)
    return Answer(
        schema="barrel",
        sentences=sentences,
        grids=[bearing_grid(lying), rubbing_grid(lying)],
        notes=notes(lying, judged, pictures),
        figures=figures(calibre, judged, leaning, causes) | {"mesh": depth},
    )


def lean_sentence(leaning: Lean) -> str:
    """Return how far it leans, in words."""
    return (
        f"The largest lean is {leaning.angle_deg.text()} degrees: the rim moves "
        f"{leaning.rim_move_mm.text()} mm up on one side and down on the other."
    )


def doubt_sentence(judged: Verdict) -> str:
    """Return which measurement to repeat, and whether the two ways of reckoning agree."""
    if not judged.doubt:
        return "No measurement carries an uncertainty, so the verdict has none."
    agreement = "agree" if judged.free.ways_agree else "differ: trust the sampled one"
    return (
        f"The largest doubt comes from the {judged.doubt.name} ({judged.doubt.share:.0%} of it): "
        f"repeat that first. First order says {judged.free.first_order:.3f}, "
        f"{judged.free.draws} random draws say {judged.free.sampled:.3f}: they {agreement}."
    ).replace("%", " %")


def depth_sentences(depth: DepthChange | None) -> list[str]:
    """Return what the play can take from the mesh, if the module is known."""
    if depth is None:
        return []
    return [
        f"At the teeth the play lets the barrel move by {depth.change_mm.text()} mm, "
        f"{100 * depth.share_of_module.value:.0f} % of the module: {depth.depth} if all of it goes "
        "away from the pinion."
    ]


def chronograph_sentences(calibre: CalibreSheet) -> list[str]:
    """Return what a worn barrel means to a chronograph on top of it."""
    chronograph = calibre.chronograph
    if not (chronograph and chronograph.wheel_teeth):
        return []
    jump = coupling_jump_s(chronograph.wheel_teeth)
    over = (
        " Its parts lie close over the barrel and feel the lean first."
        if chronograph.works_over_barrel
        else ""
    )
    return [f"The chronograph's hand may jump {jump:.2f} s, one tooth, when it starts.{over}"]


def hole_causes(lying: Bench) -> list[tuple[str, HoleCause]]:
    """Return what wore each hole, by the direction of its long axis."""
    pair = lying.case.barrel.arbor
    return [
        (
            place,
            cause_of(
                held.hole,
                winding_deg=loads_on(lying.winding, end),
                mesh_deg=loads_on(lying.case.running, end),
                arbor_turns=lying.arbor_turns,
            ),
        )
        for place, end, held in (("above", "upper", pair.upper), ("below", "lower", pair.lower))
    ]


def depth_lost(calibre: CalibreSheet, lying: Bench) -> DepthChange | None:
    """Return the most that the play can take from the mesh's depth; None without a module."""
    if not (calibre.train and len(calibre.train.arbors) > 1):
        return None
    module = calibre.train.arbors[1].pinion_module_mm
    if module is None:
        return None
    pair = lying.case.barrel.arbor
    share = (
        calibre.measured("barrel.toothed_plane_mm", "the mesh's depth").value / pair.span_mm.value
    )
    moved = propagate(
        lambda lower, upper: (lower * (1 - share) + upper * share) / 2,
        side_shake(pair.lower),
        side_shake(pair.upper),
    )
    return depth_change(moved, module)


def pull_of(calibre: CalibreSheet) -> Measured | None:
    """Return the side pull of the fully wound spring at the teeth (N); None if not computable."""
    try:
        torque = full_torque(room_of(calibre), spring_of(calibre))
        radius = calibre.measured("barrel.pitch_radius_mm", "the side pull")
    except InputError:
        return None  # the sheet need not describe the spring for a verdict
    return side_pull_n(torque, radius, PRESSURE_ANGLE_DEG)


def bearing_grid(lying: Bench) -> Grid:
    """Return the table of the bearings."""
    barrel = lying.case.barrel
    named = [("bridge (above)", barrel.arbor.upper), ("plate (below)", barrel.arbor.lower)]
    if barrel.inner:
        named += [("lid on arbor", barrel.inner.upper), ("floor on arbor", barrel.inner.lower)]
    return Grid(
        title="Bearings (mm)",
        columns=["bearing", "side shake", "oval by", "normal", "worn"],
        rows=[[name, *bearing_row(each)] for name, each in named],
        numbers=(1, 2, 3, 4),
    )


def bearing_row(bearing: Bearing) -> list[str]:
    """Return one bearing's figures."""
    normal = normal_play(bearing)
    oval = ovality(bearing.hole)
    return [
        side_shake(bearing).text(),
        oval.text() if oval.value else "round",
        f"{normal.low_mm:.3f}-{normal.high_mm:.3f}",
        chance_short(probability_worn(bearing)),
    ]


def rubbing_grid(lying: Bench) -> Grid:
    """Return the table of the gaps, leaning freely and pulled by the mesh."""
    barrel, running = lying.case.barrel, lying.case.running
    rows = []
    for gap in barrel.gaps:
        free = rubbing(barrel, worst_stance(barrel, gap), gap)
        pulled = rubbing(barrel, running, gap) if running else None
        rows.append([gap.name, *rubbing_row(free), *(rubbing_row(pulled) if pulled else ["", ""])])
    return Grid(
        title="Gap left (mm) and probability of rubbing",
        columns=["part", "free lean", "rubs", "under mesh pull", "rubs"],
        rows=rows,
        numbers=(1, 2, 3, 4),
    )


def rubbing_row(found: Rubbing) -> list[str]:
    """Return what is left of a gap and how likely it rubs."""
    return [found.left_mm.text(), chance_short(found.probability)]


def notes(lying: Bench, judged: Verdict, pictures: Path | None) -> list[str]:
    """Return where values come from, and what stands still."""
    said = [MEMORY]
    if not lying.arbor_turns:
        said.append(
            "In this going barrel the arbor stands still in plate and bridge while the watch runs "
            "and turns there only while it is wound; the barrel turns on the arbor."
        )
    if lying.from_sheet:
        said.append(f"Not measured, taken from the sheet: {', '.join(lying.from_sheet)}.")
    if judged.running is None:
        said.append("Give [directions] to know the lean under the mesh's pull and the cause.")
    if pictures:
        said.append(f"Section drawn in {pictures / 'barrel-section.svg'}")
    return said


def figures(
    calibre: CalibreSheet, judged: Verdict, leaning: Lean, causes: list[tuple[str, HoleCause]]
) -> dict[str, Any]:
    """Return the figures for other programs."""
    return {
        "calibre": calibre.name,
        "action": judged.action,
        "places": judged.places,
        "free": judged.free,
        "running": judged.running,
        "worn_above": judged.worn_above,
        "worn_below": judged.worn_below,
        "options": judged.options,
        "lean": leaning,
        "causes": dict(causes),
        "gain": judged.gain,
        "side_pull_n": pull_of(calibre),
    }


def section_of(
    calibre: CalibreSheet, found: Measurements, lying: Bench, judged: Verdict
) -> SectionView:
    """Return what the section shows."""
    return SectionView(
        title=f"The barrel of a {calibre.name}" + (f": {found.watch}" if found.watch else ""),
        sentence=judged.sentence,
        barrel=lying.case.barrel,
        rubbing=judged.free,
        rim_radius_mm=lying.rim_radius_mm,
        plate_mm=thickness(calibre, found, "below"),
        bridge_mm=thickness(calibre, found, "above"),
        running=lying.case.running,
        winding=lying.winding,
    )


def thickness(calibre: CalibreSheet, found: Measurements, place: str) -> float:
    """Return the thickness of plate or bridge: measured, from the sheet, or half a millimetre."""
    lines = getattr(calibre.barrel, place, None)
    measured = getattr(found, place).thickness_mm or (lines and lines.thickness_mm)
    return float(measured.value) if measured else GUESSED_THICKNESS_MM
