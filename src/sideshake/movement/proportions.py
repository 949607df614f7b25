"""Lines of a calibre sheet held against each other: what must stand in proportion in any watch.

Each proportion is a formula on the sheet with bounds. `fact` is a number in the trade facts.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

from sideshake.core.errors import Lacking
from sideshake.core.quantities import Measured
from sideshake.movement.bounds import COMMON, Bounds, bounds
from sideshake.movement.sheet import CalibreSheet

Formula = Callable[[CalibreSheet], float]
PURPOSE = "holding lines against each other"
BARREL_BEARINGS = ("above", "below", "on_arbor_above", "on_arbor_below")
GAPS = ("gap_plate_mm", "gap_bridge_mm", "gap_neighbour_mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Proportion:
    """A figure that several lines make together, and what it can be."""

    lines: str
    what: str
    formula: Formula
    bounds: Bounds


def at(sheet: CalibreSheet, key: str) -> float:
    """Return the number at a dotted key; raises `Lacking` without it."""
    found = sheet.needed(key, PURPOSE)
    return found.value if isinstance(found, Measured) else float(found)


def over(part: str, whole: str, times: float = 1.0) -> Formula:
    """Return the formula of one line over another, times a number."""
    return lambda sheet: times * at(sheet, part) / at(sheet, whole)


def less(large: str, small: str) -> Formula:
    """Return the formula of one line less another."""
    return lambda sheet: at(sheet, large) - at(sheet, small)


def ratio(
    part: str, whole: str, limits: Bounds, *, times: float = 1.0, what: str = ""
) -> Proportion:
    """Return the proportion of one line over another."""
    return Proportion(
        lines=f"{part}, {whole}",
        what=what or f"{part} over {whole}",
        formula=over(part, whole, times),
        bounds=limits,
    )


def difference(large: str, small: str, limits: Bounds, what: str = "") -> Proportion:
    """Return the proportion of one line less another."""
    return Proportion(
        lines=f"{large}, {small}",
        what=what or f"{large} less {small}",
        formula=less(large, small),
        bounds=limits,
    )


def room_between_plates(sheet: CalibreSheet) -> float:
    """Return the height between plate and bridge at the barrel (mm)."""
    thick = at(sheet, "barrel.above.thickness_mm") + at(sheet, "barrel.below.thickness_mm")
    return at(sheet, "barrel.span_mm") - thick / 2


def stack(sheet: CalibreSheet) -> float:
    """Return the barrel's inside height and the gaps over and under it, over their room."""
    high = sum(at(sheet, f"barrel.{key}") for key in ("height_mm", "gap_plate_mm", "gap_bridge_mm"))
    return high / room_between_plates(sheet)


def teeth_over_plate(sheet: CalibreSheet) -> float:
    """Return how far up between plate and bridge the barrel's teeth stand, as a share."""
    above = at(sheet, "barrel.toothed_plane_mm") - at(sheet, "barrel.below.thickness_mm") / 2
    return above / room_between_plates(sheet)


def lid_in_room(sheet: CalibreSheet) -> float:
    """Return the distance between the barrel's two holes over the room between the plates."""
    return at(sheet, "barrel.lid_to_floor_mm") / room_between_plates(sheet)


def gyration(sheet: CalibreSheet) -> float:
    """Return the balance's radius of gyration over the movement's diameter."""
    radius_cm = (at(sheet, "balance.inertia_mg_cm2") / at(sheet, "balance.mass_mg")) ** 0.5
    return float(10 * radius_cm / at(sheet, "diameter_mm"))


def chronograph_wheel(sheet: CalibreSheet) -> float:
    """Return the chronograph wheel's diameter over the movement's."""
    teeth = at(sheet, "chronograph.wheel_teeth")
    return teeth * at(sheet, "chronograph.coupling_module_mm") / at(sheet, "diameter_mm")


def new_rotor_lift(gap: str) -> Formula:
    """Return the formula of a new rotor's lift over its gap."""

    def formula(sheet: CalibreSheet) -> float:
        lever = at(sheet, "automatic.rim_radius_mm") / at(sheet, "automatic.bearing_span_mm")
        return lever * at(sheet, "automatic.play_mm") / at(sheet, gap)

    return formula


def engaged_h(place: str, arc: str) -> Formula:
    """Return the formula of the hours that an arc of the finger takes, where it drives slowly."""

    def formula(sheet: CalibreSheet) -> float:
        if sheet.needed(f"{place}.change", PURPOSE) == "instantaneous":
            raise Lacking("a change that stores its force tells nothing of how long it takes")
        return at(sheet, f"{place}.{arc}") / 360 * at(sheet, f"{place}.drive_turn_h")

    return formula


def ratchet_mm(sheet: CalibreSheet) -> float:
    """Return the diameter that the ratchet wheel's teeth and module make (mm)."""
    return at(sheet, "winding.ratchet_wheel") * at(sheet, "winding.ratchet_module_mm")


def upright_gap(gap: str) -> Formula:
    """Return the formula of what is left of a gap when arbor and barrel use up their endshake."""

    def formula(sheet: CalibreSheet) -> float:
        shakes = at(sheet, "barrel.endshake_mm") + at(sheet, "barrel.barrel_endshake_mm")
        return at(sheet, f"barrel.{gap}") - shakes / 2

    return formula


BARREL = (
    ratio(
        "barrel.rim_radius_mm",
        "diameter_mm",
        bounds((0.2, 0.6), (0.3, 0.49), "0.47, 0.485 at most: Grossmann 1880", fact="5.3.12"),
        times=2,
        what="the barrel's diameter over the movement's (barrel.rim_radius_mm, diameter_mm)",
    ),
    ratio("barrel.rim_radius_mm", "barrel.pitch_radius_mm", bounds((1.002, 1.12), (1.008, 1.07))),
    ratio(
        "barrel.bore_mm",
        "barrel.pitch_radius_mm",
        bounds((0.7, 0.985), (0.78, 0.96)),
        times=0.5,
        what="half of barrel.bore_mm over barrel.pitch_radius_mm",
    ),
    ratio(
        "barrel.core_mm",
        "barrel.bore_mm",
        bounds((0.2, 0.5), (0.26, 0.4), "a third: Reymondin, Daniels", fact="6.6, 6.10"),
    ),
    ratio("barrel.height_mm", "barrel.lid_to_floor_mm", bounds((0.5, 1.0), (0.65, 0.95))),
    ratio("barrel.lid_to_floor_mm", "barrel.span_mm", bounds((0.3, 1.0), (0.45, 0.9))),
    ratio("barrel.toothed_plane_mm", "barrel.span_mm", bounds((0.05, 0.95), (0.15, 0.6))),
    ratio("barrel.above.pivot_mm", "barrel.below.pivot_mm", bounds((0.4, 2.5), (0.6, 1.7))),
    ratio(
        "barrel.on_arbor_above.pivot_mm",
        "barrel.on_arbor_below.pivot_mm",
        bounds((0.4, 2.5), (0.6, 1.7)),
    ),
    Proportion(
        lines="barrel.height_mm, barrel.gap_plate_mm, barrel.gap_bridge_mm, barrel.span_mm",
        what="the barrel's height and its gaps over the room between plate and bridge",
        formula=stack,
        bounds=bounds((0.3, 1.25), (0.5, 1.05), COMMON),
    ),
    Proportion(
        lines="barrel.lid_to_floor_mm, barrel.span_mm",
        what="barrel.lid_to_floor_mm over the room between plate and bridge",
        formula=lid_in_room,
        bounds=bounds((0.3, 1.05), (0.55, 1.0), COMMON),
    ),
    Proportion(
        lines="barrel.toothed_plane_mm, barrel.span_mm",
        what="the place of barrel.toothed_plane_mm between plate (0) and bridge (1)",
        formula=teeth_over_plate,
        bounds=bounds((0.02, 0.98), (0.08, 0.65), COMMON),
    ),
    *(
        ratio(f"barrel.{each}.pivot_mm", "barrel.core_mm", bounds((0.12, 0.9), (0.2, 0.7)))
        for each in BARREL_BEARINGS
    ),
    *(
        ratio(f"barrel.{each}", "barrel.span_mm", bounds((0.012, 0.4), (0.03, 0.2), COMMON))
        for each in GAPS
    ),
    *(
        Proportion(
            lines=f"barrel.{each}, barrel.endshake_mm, barrel.barrel_endshake_mm",
            what=f"what both endshakes leave of barrel.{each}",
            formula=upright_gap(each),
            bounds=bounds((0.0, 1.5), (0.03, 1.0), "a barrel that stands upright runs free"),
        )
        for each in GAPS
    ),
)
ARBOR = (
    *(
        ratio(
            f"barrel.shoulder_{side}_mm",
            f"barrel.{side}.hole_mm",
            bounds((1.0, 4.0), (1.1, 2.2), "a shoulder does not enter its hole"),
        )
        for side in ("above", "below")
    ),
    ratio("barrel.ratchet_plane_mm", "barrel.span_mm", bounds((0.7, 2.2), (1.0, 1.6), COMMON)),
    ratio("barrel.ratchet_radius_mm", "barrel.rim_radius_mm", bounds((0.3, 1.2), (0.5, 1.0))),
    Proportion(
        lines="winding.ratchet_wheel, winding.ratchet_module_mm, diameter_mm",
        what="the ratchet wheel's diameter over the movement's",
        formula=lambda sheet: ratchet_mm(sheet) / at(sheet, "diameter_mm"),
        bounds=bounds((0.12, 0.5), (0.2, 0.42)),
    ),
    Proportion(
        lines="barrel.ratchet_radius_mm, winding.ratchet_wheel, winding.ratchet_module_mm",
        what="barrel.ratchet_radius_mm over half of what its teeth and module make",
        formula=lambda sheet: 2 * at(sheet, "barrel.ratchet_radius_mm") / ratchet_mm(sheet),
        bounds=bounds((0.85, 1.15), (0.93, 1.07), "from root to tip of its teeth"),
    ),
)
SPRING = (
    ratio(
        "barrel.core_mm",
        "mainspring.thickness_mm",
        bounds((12, 50), (18, 36), "20 to 32, from memory", fact="6.10"),
    ),
    ratio(
        "barrel.bore_mm",
        "mainspring.thickness_mm",
        bounds((50, 150), (75, 112), "80 to 100, from memory", fact="6.9"),
    ),
    difference(
        "barrel.height_mm",
        "mainspring.height_mm",
        bounds((0.0, 0.4), (0.05, 0.20), "0.05 to 0.20 mm: Reymondin", fact="6.11"),
    ),
)
BALANCE = (
    Proportion(
        lines="balance.inertia_mg_cm2, balance.mass_mg, diameter_mm",
        what="the balance's radius of gyration over the movement's diameter",
        formula=gyration,
        bounds=bounds((0.08, 0.28), (0.11, 0.22)),
    ),
    ratio("balance.pivot_mm", "diameter_mm", bounds((0.0018, 0.0075), (0.0023, 0.006))),
)
AMPLITUDES = (
    *(
        ratio(
            f"nominal.hanging_{when}_deg",
            f"nominal.lying_{when}_deg",
            bounds((0.6, 1.0), (0.74, 0.99), "45 degrees less: Kleinlein 1920", fact="3.5.8"),
        )
        for when in ("full", "24h")
    ),
    *(
        ratio(
            f"nominal.{position}_24h_deg",
            f"nominal.{position}_full_deg",
            bounds(
                (0.55, 1.03),
                (0.7, 1.0),
                "50 degrees less, a factory's limit",
                fact="3.5.9",
            ),
        )
        for position in ("lying", "hanging")
    ),
    ratio(
        "nominal.least_hanging_24h_deg",
        "nominal.hanging_24h_deg",
        bounds((0.5, 1.0), (0.7, 0.98), COMMON),
    ),
)
ROTOR = (
    ratio(
        "automatic.rim_radius_mm",
        "diameter_mm",
        bounds((0.3, 1.1), (0.6, 1.0)),
        times=2,
        what="the rotor's diameter over the movement's (automatic.rim_radius_mm, diameter_mm)",
    ),
    *(
        Proportion(
            lines=f"automatic.play_mm, automatic.bearing_span_mm, automatic.{gap}",
            what=f"the lift of the new rotor's rim over automatic.{gap}",
            formula=new_rotor_lift(f"automatic.{gap}"),
            bounds=bounds((0.01, 1.0), (0.03, 0.6), "half the gap, common practice", fact="11.3"),
        )
        for gap in ("gap_case_back_mm", "gap_bridge_mm")
    ),
)
CALENDAR = (
    *(
        Proportion(
            lines=f"{place}.{arc}, {place}.drive_turn_h",
            what=f"the hours that {place}.{arc} takes",
            formula=engaged_h(place, arc),
            bounds=limits,
        )
        for place, (arc, limits) in product(
            ("calendar", "day"),
            (
                ("finger_arc_deg", bounds((0.6, 11.9), (1.5, 8), "3 to 6 h", fact="9.4")),
                (
                    "arc_before_jump_deg",
                    bounds((0.4, 11.5), (0.8, 6), "1 h or more", fact="9.5"),
                ),
            ),
        )
    ),
    *(
        ratio(f"{place}.finger_radius_mm", f"{place}.driver_offset_mm", bounds((0.08, 0.9)))
        for place in ("calendar", "day")
    ),
    *(
        ratio(f"{place}.ring_teeth_radius_mm", f"{place}.driver_offset_mm", bounds((1.02, 2.5)))
        for place in ("calendar", "day")
    ),
    ratio("calendar.ring_teeth_radius_mm", "diameter_mm", bounds((0.2, 0.52), (0.28, 0.48))),
)
CHRONOGRAPH = (
    Proportion(
        lines="chronograph.wheel_teeth, chronograph.coupling_module_mm, diameter_mm",
        what="the chronograph wheel's diameter over the movement's",
        formula=chronograph_wheel,
        bounds=bounds((0.1, 0.5), (0.15, 0.38)),
    ),
)
FUSEE = (
    ratio("fusee.largest_radius_mm", "fusee.least_radius_mm", bounds((1.1, 3.0), (1.25, 2.3))),
    ratio("fusee.barrel_radius_mm", "barrel.rim_radius_mm", bounds((0.75, 1.02), (0.85, 1.0))),
    ratio(
        "barrel.bore_mm",
        "fusee.barrel_radius_mm",
        bounds((0.7, 0.99), (0.8, 0.97)),
        times=0.5,
        what="half of barrel.bore_mm over fusee.barrel_radius_mm",
    ),
)
SIZES = (*BARREL, *ARBOR, *SPRING, *BALANCE, *AMPLITUDES, *ROTOR, *CALENDAR, *CHRONOGRAPH, *FUSEE)
"""Proportions of sizes; those of force, time and speed stand in `workings`."""
