"""Lines of a calibre sheet held against each other through what they make: force, time, speed."""

from collections.abc import Iterator

from sideshake.core.errors import NotEnough
from sideshake.movement.bounds import COMMON, bounds
from sideshake.movement.drive import (
    drive_torque,
    drive_turns,
    hours_per_turn,
    rotor_turns_a_day,
    running_h,
)
from sideshake.movement.energy import balance_power_uw, barrel_power_uw
from sideshake.movement.escapement import require_loss_model
from sideshake.movement.fault import Fault, judged
from sideshake.movement.kinds import friction_clutch
from sideshake.movement.mainspring import fill, full_torque, room_of, spring_of
from sideshake.movement.proportions import BARREL_BEARINGS, PURPOSE, Proportion, at
from sideshake.movement.sheet import CalibreSheet, SheetBearing
from sideshake.movement.train import meshes, train_of
from sideshake.movement.winding import crown_turns, wound_by_key

PLAY = bounds((0.002, 0.18), (0.006, 0.08), "0.01 to 0.04 mm, from memory", fact="7.2.10")
PLAY_SHARE = bounds((0.003, 0.25), (0.008, 0.15))
RING = bounds((1.15, 20), (1.3, 12), COMMON)
WHEEL_SHARE = bounds((0.06, 0.6), (0.12, 0.49))
DISTANCE_SHARE = bounds((0.04, 0.5), (0.08, 0.32))
FULL = "nominal.lying_full_deg"


def filled(sheet: CalibreSheet) -> float:
    """Return the share of the barrel that the strip fills."""
    return fill(room_of(sheet), spring_of(sheet))


def spring_torque(sheet: CalibreSheet) -> float:
    """Return the torque of one barrel, fully wound (mN·m)."""
    return full_torque(room_of(sheet), spring_of(sheet)).value


def power_share(sheet: CalibreSheet) -> float:
    """Return the share of the drive's power that the balance uses up, in per cent."""
    require_loss_model(sheet)
    taken = balance_power_uw(
        sheet.measured(FULL, PURPOSE),
        sheet.whole("beats_per_hour", PURPOSE),
        inertia_mg_cm2=sheet.measured("balance.inertia_mg_cm2", PURPOSE),
        quality_factor=sheet.measured("balance.quality_factor", PURPOSE),
    )
    given = barrel_power_uw(drive_torque(sheet), float(hours_per_turn(sheet)))
    return 100 * taken.value / given.value


def stated_reserve(sheet: CalibreSheet) -> float:
    """Return the stated reserve over the running time."""
    return at(sheet, "nominal.power_reserve_h") / running_h(sheet).value


def crown_turns_to_full(sheet: CalibreSheet) -> float:
    """Return the turns of the crown to full."""
    if wound_by_key(sheet):
        raise NotEnough("a key winds the arbor itself")
    return crown_turns(sheet, drive_turns(sheet)).value


def coupling_drop(sheet: CalibreSheet) -> float:
    """Return the fall of amplitude with the chronograph on, for a coupling with teeth."""
    sheet.needed("chronograph.coupling", PURPOSE)
    if friction_clutch(sheet):
        raise NotEnough("a friction clutch may take next to nothing")
    return at(sheet, "nominal.chronograph_drop_deg")


WORKINGS = (
    Proportion(
        lines="mainspring.thickness_mm, mainspring.length_mm, barrel.bore_mm, barrel.core_mm",
        what="the share of the barrel that the spring fills",
        formula=filled,
        bounds=bounds((0.25, 0.75), (0.40, 0.62), "half: Reymondin", fact="6.1, 6.8"),
    ),
    Proportion(
        lines="mainspring.height_mm, mainspring.thickness_mm, mainspring.free_turns",
        what="the torque of the spring fully wound (mN·m)",
        formula=spring_torque,
        bounds=bounds((0.6, 60), (1.5, 35), "2 to 30 mN·m, from memory", fact="6.15"),
    ),
    Proportion(
        lines=f"balance.inertia_mg_cm2, balance.quality_factor, {FULL}, mainspring",
        what="the balance's share of the barrel's power (per cent)",
        formula=power_share,
        bounds=bounds((2.5, 60), (8, 40), "20 to 34 %, from memory", fact="6.21"),
    ),
    Proportion(
        lines="nominal.power_reserve_h, mainspring, barrel, train",
        what="nominal.power_reserve_h over the hours that the spring gives",
        formula=stated_reserve,
        bounds=bounds((0.4, 1.25), (0.65, 1.1), "60 to 80 % of all, from memory", fact="6.19"),
    ),
    Proportion(
        lines="train",
        what="the hours of one turn of the barrel (or fusee)",
        formula=lambda sheet: float(hours_per_turn(sheet)),
        bounds=bounds((1.5, 30), (3, 14), "5 to 8 h", fact="5.2.8, 6.18"),
    ),
    Proportion(
        lines="winding, mainspring, barrel",
        what="the turns of the crown to full",
        formula=crown_turns_to_full,
        bounds=bounds((9, 120), (18, 60), "30 to 40, secondary trade page", fact="11.8"),
    ),
    Proportion(
        lines="automatic.rotor_turns_per_arbor_turn, train",
        what="the useful turns of the rotor for a day",
        formula=lambda sheet: rotor_turns_a_day(sheet).value,
        bounds=bounds((130, 3000), (300, 1300), "650 to 800, secondary trade page", fact="11.7"),
    ),
    Proportion(
        lines="nominal.chronograph_drop_deg, chronograph.coupling",
        what="nominal.chronograph_drop_deg with a coupling by teeth",
        formula=coupling_drop,
        bounds=bounds((4, 70), (8, 42), "10 to 30 degrees, from memory", fact="10.6"),
    ),
)


def mesh_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield wheels and distances of the train that do not suit the movement's diameter."""
    if sheet.diameter_mm is None:
        return
    across = sheet.diameter_mm.value
    for mesh in meshes(train_of(sheet)):
        name, module = mesh.driven.name, mesh.driven.pinion_module_mm
        if module is not None and mesh.wheel_or_none is not None:
            yield from judged(
                f"{name}.pinion_module_mm, diameter_mm",
                f"the diameter of the wheel that drives {name} over the movement's",
                module.value * mesh.wheel / across,
                WHEEL_SHARE,
            )
        distance = mesh.driven.centre_distance_mm
        if distance is not None:
            yield from judged(
                f"{name}.centre_distance_mm, diameter_mm",
                f"{name}.centre_distance_mm over the movement's diameter",
                distance.value / across,
                DISTANCE_SHARE,
            )


def bearing_faults(sheet: CalibreSheet) -> Iterator[Fault]:
    """Yield bearings whose play, or whose jewel's ring, cannot be."""
    for place, bearing in bearings_of(sheet):
        pivot, hole, outside = bearing.pivot_mm, bearing.hole_mm, bearing.outside_mm
        if pivot is not None and hole is not None:
            lines, play = f"{place}.hole_mm, {place}.pivot_mm", hole.value - pivot.value
            yield from judged(lines, f"the play of {place} (hole less pivot, mm)", play, PLAY)
            if play <= PLAY.can[1]:
                said = f"the play of {place} over its pivot"
                yield from judged(lines, said, play / pivot.value, PLAY_SHARE)
        if outside is not None and hole is not None:
            yield from judged(
                f"{place}.outside_mm, {place}.hole_mm",
                f"{place}.outside_mm over its hole",
                outside.value / hole.value,
                RING,
            )


def bearings_of(sheet: CalibreSheet) -> Iterator[tuple[str, SheetBearing]]:
    """Yield the bearings of barrel and train with their places."""
    for key in BARREL_BEARINGS:
        found = getattr(sheet.barrel, key) if sheet.barrel else None
        if found is not None:
            yield f"barrel.{key}", found
    for row, bearing in enumerate(sheet.bearings):
        yield f"bearings.{row}", bearing
