"""Between what bounds each line of a calibre sheet can lie, and where those are from.

Outside the hard bounds a value cannot be one of a watch; outside the usual ones it is odd. `fact`
is the number in the trade facts that a bound rests on; `MEMORY` marks bounds from memory, set wide
from the smallest ladies' movement to a deck watch.
"""

from dataclasses import dataclass

MEMORY = "from memory"
COMMON = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """What can be (hard bounds), what is usual, and where both are from."""

    can: tuple[float, float]
    usual: tuple[float, float]
    source: str = MEMORY
    fact: str = ""

    def __post_init__(self) -> None:
        low, high = self.can
        if not low <= self.usual[0] <= self.usual[1] <= high:
            raise ValueError(f"the usual bounds {self.usual} lie inside the hard ones {self.can}")

    def cannot_hold(self, value: float) -> bool:
        """Return whether no watch has this value."""
        return not self.can[0] <= value <= self.can[1]

    def finds_odd(self, value: float) -> bool:
        """Return whether the value is not usual."""
        return not self.usual[0] <= value <= self.usual[1]


def bounds(
    can: tuple[float, float],
    usual: tuple[float, float] | None = None,
    source: str = MEMORY,
    *,
    fact: str = "",
) -> Bounds:
    """Return the bounds; without usual ones, everything that can be is usual."""
    return Bounds(can=can, usual=usual or can, source=source, fact=fact)


PIVOT = bounds((0.3, 3.5), (0.5, 2.5))
HOLE = bounds((0.3, 3.8), (0.5, 2.6))
PLATE = bounds((0.12, 3.0), (0.2, 2.0))
JEWEL = bounds((0.6, 6.0), (0.7, 4.0), "stocked sizes, from memory", fact="7.3.1")
PINION = bounds((5, 24), (6, 16), "usual leaves, from memory", fact="5.3.11")
WHEEL = bounds((24, 160), (36, 120), "usual teeth, from memory", fact="5.2.11")
MODULE = bounds((0.04, 0.30), (0.06, 0.28), "0.07 to 0.20 mm, from memory", fact="5.3.2")
ENDSHAKE = bounds((0.005, 0.20), (0.01, 0.08), "to 0.08 mm, secondary trade page", fact="7.2.1")
GAP = bounds((0.03, 1.5), (0.08, 0.8), COMMON)
TURN = bounds((-360, 360), source="a full turn")
AMPLITUDE = bounds((60, 345), (90, 325), "knocking begins at about 330 degrees", fact="3.5.18")

BOUNDS: dict[str, Bounds] = {
    "diameter_mm": bounds((8, 75), (11, 55)),
    "beats_per_hour": bounds((10800, 43200), (14400, 36000), "from memory", fact="3.5.4"),
    "jewels": bounds((1, 70), (1, 45), "7 to 17 and more, secondary trade page", fact="2.2.5"),
    **{
        f"barrel.{place}.{key}": each
        for place in ("above", "below", "on_arbor_above", "on_arbor_below")
        for key, each in (
            ("pivot_mm", PIVOT),
            ("hole_mm", HOLE),
            ("thickness_mm", PLATE),
            ("outside_mm", JEWEL),
        )
    },
    "barrel.teeth": bounds((40, 160), (60, 120), "usual teeth, from memory", fact="6.18"),
    "barrel.bore_mm": bounds((2.5, 30), (4.5, 22)),
    "barrel.core_mm": bounds((0.8, 11), (1.4, 8)),
    "barrel.height_mm": bounds((0.4, 7), (0.6, 4.5)),
    "barrel.span_mm": bounds((0.9, 12), (1.3, 8)),
    "barrel.lid_to_floor_mm": bounds((0.5, 9), (0.8, 6)),
    "barrel.endshake_mm": ENDSHAKE,
    "barrel.barrel_endshake_mm": ENDSHAKE,
    "barrel.rim_radius_mm": bounds((1.8, 20), (2.8, 13)),
    "barrel.pitch_radius_mm": bounds((1.7, 20), (2.7, 13)),
    "barrel.shoulder_above_mm": bounds((0.4, 8), (0.6, 5)),
    "barrel.shoulder_below_mm": bounds((0.4, 8), (0.6, 5)),
    "barrel.ratchet_radius_mm": bounds((0.8, 14), (1.5, 9)),
    "barrel.ratchet_plane_mm": bounds((0.6, 15), (1, 9)),
    "winding.ratchet_module_mm": MODULE,
    "directions.centre_wheel_deg": TURN,
    "directions.click_deg": TURN,
    "directions.crown_wheel_deg": TURN,
    "barrel.toothed_plane_mm": bounds((0.12, 9), (0.3, 5)),
    "barrel.gap_plate_mm": GAP,
    "barrel.gap_bridge_mm": GAP,
    "barrel.gap_neighbour_mm": GAP,
    "mainspring.thickness_mm": bounds((0.03, 0.35), (0.05, 0.30), "slit gauges", fact="6.24"),
    "mainspring.height_mm": bounds((0.3, 6), (0.5, 4)),
    "mainspring.length_mm": bounds((80, 1200), (150, 800)),
    "mainspring.elastic_gpa": bounds(
        (160, 240), (195, 225), "200 to 220 GPa, from memory", fact="6.16"
    ),
    "mainspring.free_turns": bounds((-30, 30), (-12, 15), "from memory", fact="6.12"),
    "mainspring.bridle_turns": bounds((0, 3), (0, 1.5)),
    "mainspring.stop_work_turns": bounds((1, 12), (3, 8), "the middle four of six", fact="6.19"),
    "mainspring.set_up_turns": bounds((0, 4), (0, 2), fact="6.19"),
    "mainspring.last_turns": bounds((0, 4), (0, 2), "1/2 to 1, from memory", fact="6.19"),
    "mainspring.efficiency": bounds(
        (0.5, 1), (0.7, 0.95), "0.80 to 0.90, from memory", fact="6.21"
    ),
    "train.arbors.*.pinion": PINION,
    "train.arbors.*.wheel": WHEEL,
    "train.arbors.*.driver_wheel": bounds((12, 160), (20, 120)),
    "train.escape.wheel": bounds((10, 32), (12, 24), "15 in most, from memory", fact="5.2.13"),
    "train.arbors.*.pinion_module_mm": MODULE,
    "train.arbors.*.centre_distance_mm": bounds((1.2, 20), (2, 14)),
    "motion_work.cannon_pinion": bounds((6, 36), (8, 24)),
    "motion_work.minute_wheel": bounds((16, 120), (24, 72)),
    "motion_work.minute_pinion": bounds((5, 36), (6, 20)),
    "motion_work.hour_wheel": bounds((16, 120), (24, 72)),
    "winding.winding_pinion": bounds((6, 40), (9, 26)),
    "winding.crown_wheel": bounds((12, 100), (20, 60)),
    "winding.crown_wheel_out": bounds((12, 100), (20, 60)),
    "winding.ratchet_wheel": bounds((16, 120), (28, 80)),
    "automatic.rotor_turns_per_arbor_turn": bounds((20, 800), (50, 400)),
    "automatic.rim_radius_mm": bounds((3.5, 22), (6, 18)),
    "automatic.bearing_span_mm": bounds((0.25, 9), (0.5, 7)),
    "automatic.play_mm": bounds((0.002, 0.12), (0.004, 0.06)),
    "automatic.gap_case_back_mm": GAP,
    "automatic.gap_bridge_mm": GAP,
    "balance.inertia_mg_cm2": bounds((0.15, 400), (1, 120)),
    "balance.mass_mg": bounds((4, 1200), (10, 500)),
    "balance.pivot_mm": bounds((0.05, 0.25), (0.06, 0.16), "up to about 0.12 mm", fact="7.2.10"),
    "balance.quality_factor": bounds((40, 1000), (80, 400), "about 200, from memory", fact="4.6"),
    "bearings.*.pivot_mm": bounds((0.06, 3.5), (0.07, 2.5)),
    "bearings.*.hole_mm": bounds((0.06, 3.8), (0.075, 2.6)),
    "bearings.*.thickness_mm": bounds((0.08, 3), (0.12, 2)),
    "bearings.*.outside_mm": JEWEL,
    **{
        f"{place}.{key}": each
        for place in ("calendar", "day")
        for key, each in (
            ("drive_turn_h", bounds((12, 48), (24, 24), "once in 24 h", fact="9.1")),
            ("finger_arc_deg", bounds((4, 180), (8, 100), "3 to 6 h engaged", fact="9.4")),
            ("arc_before_jump_deg", bounds((0.5, 180), (4, 90), "1 to 6 h", fact="9.5")),
            ("finger_radius_mm", bounds((0.5, 10), (1, 6))),
            ("driver_offset_mm", bounds((1.5, 25), (2.5, 18))),
            ("ring_teeth_radius_mm", bounds((2, 28), (3, 20))),
            ("watched_to_min", bounds((0.2, 40), (1, 20), COMMON)),
        )
    },
    "chronograph.wheel_teeth": bounds((60, 500), (120, 320), "150 to 300 teeth", fact="10.2"),
    "chronograph.coupling_module_mm": bounds((0.015, 0.12), (0.025, 0.08)),
    "chronograph.minute_counter": bounds((5, 60), (12, 60)),
    "chronograph.hour_counter": bounds((3, 24), (6, 24)),
    "nominal.lying_full_deg": AMPLITUDE,
    "nominal.hanging_full_deg": AMPLITUDE,
    "nominal.lying_24h_deg": AMPLITUDE,
    "nominal.hanging_24h_deg": AMPLITUDE,
    "nominal.least_hanging_24h_deg": bounds(
        (60, 300), (90, 240), "180 to 190 degrees, a factory's limit", fact="3.5.9"
    ),
    "nominal.chronograph_drop_deg": bounds(
        (0.5, 70), (3, 45), "10 to 40 degrees, a movement's instruction", fact="10.6"
    ),
    "nominal.power_reserve_h": bounds((12, 1000), (24, 240)),
    "nominal.viscous_share": bounds((0.3, 1.0), (0.4, 1.0), "0.8 give or take, from memory"),
    "fusee.turns": bounds((2, 10), (3, 6)),
    "fusee.least_radius_mm": bounds((0.8, 12), (1.5, 8)),
    "fusee.largest_radius_mm": bounds((1.5, 20), (3, 12)),
    "fusee.barrel_radius_mm": bounds((2.5, 20), (4, 13)),
    "fusee.set_up_turns": bounds((0.05, 3), (0.1, 1.5)),
}
"""Lines by their place in the sheet, `*` for any row of a list. The lift angle and the amplitudes
have bounds of their own for each escapement, in `escapement`."""

USUAL_BEATS = frozenset(
    {
        *(14400, 16200, 16800, 18000, 19440, 19800, 21000),
        *(21306, 21600, 22320, 25200, 28800, 32400, 36000),
    }
)
"""Beats an hour that exist in watches (from memory; trade-facts 3.5.4)."""
