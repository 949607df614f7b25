"""One hole's repair: from what was measured to the part, how it sits, and the way there."""

from dataclasses import dataclass

from sideshake.core.quantities import Measured
from sideshake.fit.jewel import Fit, Origin, Seat, choose_part
from sideshake.fit.materials import BRONZE, RUBY, Material, material
from sideshake.fit.tooling import Cut, Plan, centre_words, plan, press_depth, reamer_sequence
from sideshake.fit.workshop import WorkshopTools, parts_in
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.bearing import Bearing, normal_play, ovality
from sideshake.wear.measurements import Bench, MeasuredBearing, Measurements, thickness
from sideshake.wear.rubbing import chance_words
from sideshake.wear.sizes import with_default
from sideshake.wear.verdict import SIDES, Action, BearingPlace, Verdict, bearing_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """One hole's repair: the part, how it sits, and the way there."""

    reference: str
    place: BearingPlace
    seat: Seat
    fit: Fit
    plan: Plan


def part_material(judged: Verdict) -> Material:
    """Return bronze if the verdict is a bush, else ruby."""
    return BRONZE if judged.action is Action.BUSH else RUBY


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """A watch on the bench: its sheet, what was measured on it, and the case both make."""

    calibre: CalibreSheet
    found: Measurements
    bench: Bench


def repair(
    lying: Lying, where: BearingPlace, *, made_of: Material, tools: WorkshopTools, reference: str
) -> Repair:
    """Return one hole's repair."""
    calibre, found = lying.calibre, lying.found
    held = bearing_at(lying.bench.case.barrel, where)
    measured: MeasuredBearing = getattr(found, where)
    seat = seat_of(held, measured, plate_mm=thickness(calibre, found, where), tools=tools)
    fit = choose_part(seat, parts_in(tools), material=made_of)
    centre = centre_words(
        ovality_mm=ovality(held.hole).value, passes_through=measured.passes_through
    )
    way = plan(
        fit.part, cuts(seat, fit, tools), centre=centre, depth_mm=depth(calibre, found, where)
    )
    return Repair(reference=reference, place=where, seat=seat, fit=fit, plan=way)


def seat_of(
    held: Bearing, measured: MeasuredBearing, *, plate_mm: float, tools: WorkshopTools
) -> Seat:
    """Return what the new part must serve."""
    normal = normal_play(held)
    return Seat(
        pivot_mm=held.pivot_mm,
        play_mm=(normal.low_mm, normal.high_mm),
        old_hole_mm=held.hole.long_mm.value,
        plate_thickness_mm=plate_mm,
        plate=material(measured.metal),
        interference_mm=tools.under_mm,
        room_mm=held.room_mm,
        centre_to_edge_mm=measured.edge_mm.value if measured.edge_mm else None,
    )


def cuts(seat: Seat, fit: Fit, tools: WorkshopTools) -> tuple[Cut, ...]:
    """Return the reamers to use; none when the workshop's list is not given."""
    if not tools.reamers_mm:
        return ()
    return reamer_sequence(
        tools.reamers_mm,
        start_mm=seat.old_hole_mm,
        outside_mm=fit.part.outside_mm,
        under_mm=seat.interference_mm,
    )


def depth(calibre: CalibreSheet, found: Measurements, where: BearingPlace) -> Measured | None:
    """Return how deep to press; None when old depth or wanted endshake was not measured."""
    old: Measured | None = getattr(found, where).depth_mm
    wanted = found.barrel.endshake_wanted_mm
    if old is None or wanted is None:
        return None
    now = found.barrel.endshake_mm or calibre.measured("barrel.endshake_mm", "the press depth")
    return press_depth(with_default(old, found.u_mm), with_default(now, found.u_mm), wanted)


def part_name(each: Repair) -> str:
    """Return what the new part is called: what it is, of what, and where it goes."""
    kind = "Jewel" if each.fit.part.material == RUBY else "Bush"
    return f"{kind} for the barrel arbor, {SIDES[each.place]}"


def repair_sentence(each: Repair) -> str:
    """Return what to fit and where it comes from, in plain words."""
    return f"{each.reference}, hole {each.place}: fit a {fit_words(each.fit)}"


def fit_words(fit: Fit) -> str:
    """Return a part, where it comes from, how surely its play is right, and how it holds."""
    part, kind = fit.part, "jewel" if fit.part.material == RUBY else "bush"
    origin = {
        Origin.DRAWER: f"from the drawer ({part.name})",
        Origin.STANDARD: "a stock size",
        Origin.ORDER: "made to order",
    }[fit.origin]
    return (
        f"{part.material.name} {kind} {part.sizes} mm, {origin}; "
        f"its play will be right with a probability of {chance_words(fit.play.inside)}. "
        f"{fit.hold.words}"
    )
