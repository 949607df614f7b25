"""A barrel judged: how far it leans, whether it rubs, what wore it, and what to do."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sideshake.analysis.barrel_tables import Rows, bearing_rows, gap_rows, lean_rows
from sideshake.analysis.barrel_words import basis, lean_sentence, memory_notes, mesh_sentences
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.mainspring import full_torque, room_of, spring_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.barrel_size import unmeasured
from sideshake.wear.bearing import displacement, side_shake
from sideshake.wear.cause import HoleCause
from sideshake.wear.measure_first import ARBOR_HOLES
from sideshake.wear.measurements import Bench
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

if TYPE_CHECKING:
    from sideshake.workshop_rules.repair import Lying


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrelJudged:
    """All that the measured sizes say of a barrel.

    `poses` : leaning as far as it can, and, where the loads are reckoned, under way and winding
    `bearings` : the side shake of each bearing, as `barrel_tables.bearing_rows` tells it
    `causes` : what wore the hole above and the hole below
    `depth_at_most` : the most that the play takes from the mesh; None if the sheet does not tell it
    `depth_under_pull` : what the loads under way take from it; None if one of them is not known
    `pivot_moves_mm` : how far those loads move the pivot above and below; empty likewise
    `side_pull_n` : of the fully wound spring at the teeth (N); None where the sheet does not tell
    `standing`, `worn`, `meshing` : the sentences on lean and loads, on causes, and on the mesh
    `basis` : what all of it rests on
    """

    verdict: Verdict
    poses: tuple[PoseSeen, ...]
    bearings: Rows
    causes: Mapping[str, HoleCause]
    depth_at_most: DepthChange | None
    depth_under_pull: DepthChange | None
    pivot_moves_mm: Mapping[str, Measured]
    side_pull_n: Measured | None
    standing: tuple[str, ...]
    worn: tuple[str, ...]
    meshing: tuple[str, ...]
    basis: tuple[str, ...]

    @property
    def leans(self) -> Rows:
        """Return how far it leans, as `barrel_tables.lean_rows` tells it."""
        return lean_rows(self.poses)

    @property
    def gaps(self) -> Rows:
        """Return what is left of each gap, as `barrel_tables.gap_rows` tells it."""
        return gap_rows(self.poses)


def judge_barrel(lying: "Lying", *, costs: Costs = USUAL_COSTS) -> BarrelJudged:
    """Return what the sizes of a barrel say.

    Parameters
    ----------
    lying : the watch on the bench, as `on_bench.laid_out` makes it
    costs : minutes that a wrong decision costs; they weigh what a measurement is worth

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> from sideshake.wear.measurements import Measurements
    >>> from sideshake.analysis.on_bench import laid_out
    >>> sheet, found = shipped_sheet("tarnbrook-31"), Measurements(above={"hole_mm": 0.93})
    >>> judge_barrel(laid_out(sheet, found)).verdict.action.value
    'measure'
    """
    calibre, on_bench = lying.calibre, lying.bench
    judged = verdict(replace(on_bench.case, costs=costs))
    poses = stances_seen(on_bench, judged)
    causes = hole_causes(on_bench)
    most, pulled = depth_lost(calibre, on_bench), depth_under_pull(calibre, on_bench)
    return BarrelJudged(
        verdict=judged,
        poses=poses,
        bearings=bearing_rows(on_bench),
        causes=dict(causes),
        depth_at_most=most,
        depth_under_pull=pulled,
        pivot_moves_mm=pivot_moves(on_bench),
        side_pull_n=pull_of(calibre),
        standing=(
            lean_sentence(poses[0].lean, judged),
            *bore_sentences(on_bench, judged),
            *stance_sentences(on_bench, judged),
        ),
        worn=tuple(cause_sentences(causes)),
        meshing=mesh_sentences(calibre, most if arbor_measured(on_bench) else None, pulled),
        basis=(*basis(on_bench), *memory_notes(calibre)),
    )


def arbor_measured(on_bench: Bench) -> bool:
    """Return whether both holes of the arbor were measured on this watch."""
    return not any(each in unmeasured(on_bench.case.barrel.known) for each in ARBOR_HOLES)


def depth_lost(calibre: CalibreSheet, on_bench: Bench) -> DepthChange | None:
    """Return the most that the play can take from the mesh; None if the sheet does not tell."""
    module, plane, pair = module_of(calibre), toothed_plane(calibre), on_bench.case.barrel.arbor
    if module is None or plane is None:
        return None
    share = plane / pair.span_mm.value
    moved = propagate(
        lambda lower, upper: (lower * (1 - share) + upper * share) / 2,
        side_shake(pair.lower),
        side_shake(pair.upper),
    )
    return depth_change(moved, module)


def depth_under_pull(calibre: CalibreSheet, on_bench: Bench) -> DepthChange | None:
    """Return what the loads under way take from the mesh's depth; None if one is not known."""
    module, plane = module_of(calibre), toothed_plane(calibre)
    running, partner = on_bench.case.running, on_bench.partner_deg
    if module is None or plane is None or running is None or partner is None or running.taken:
        return None
    moved = along_now(on_bench.case.barrel, running, plane, partner + 180.0)
    return depth_change(moved, module)


def pivot_moves(on_bench: Bench) -> dict[str, Measured]:
    """Return how far the loads under way move each pivot; empty if one is not known."""
    running, pair = on_bench.case.running, on_bench.case.barrel.arbor
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


def toothed_plane(calibre: CalibreSheet) -> float | None:
    """Return the height of the teeth above the lower bearing (mm), if the sheet has it."""
    plane = calibre.barrel.toothed_plane_mm if calibre.barrel else None
    return plane.value if plane else None


def pull_of(calibre: CalibreSheet) -> Measured | None:
    """Return the side pull of the fully wound spring at the teeth (N); None if not computable."""
    try:
        torque = full_torque(room_of(calibre), spring_of(calibre))
        radius = calibre.measured("barrel.pitch_radius_mm", "the side pull")
    except InputError:
        return None  # the sheet need not describe the spring for a verdict
    return side_pull_n(torque, radius, PRESSURE_ANGLE_DEG)
