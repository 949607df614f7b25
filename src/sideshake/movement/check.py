"""What can be computed from a calibre sheet, what cannot, and where it contradicts itself."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from math import hypot

from sideshake.core.errors import InputError, Lacking, NotEnough
from sideshake.core.quantities import COVERAGE_FACTOR, Measured, propagate
from sideshake.movement.balance import beats_per_hour as beats_of_swing
from sideshake.movement.balance import period_s
from sideshake.movement.calendar import engagement_of, hand_time, quick_set
from sideshake.movement.drive import (
    IN_PARALLEL,
    IN_SERIES,
    barrels_of,
    drive_torque,
    drive_turns,
    hours_per_turn,
    running_h,
)
from sideshake.movement.energy import balance_power_uw, barrel_power_uw, stiffness
from sideshake.movement.escapement import limits_of, require_heard_amplitude, require_loss_model
from sideshake.movement.fusee import pull_of_fusee
from sideshake.movement.kinds import friction_clutch
from sideshake.movement.mainspring import full_torque, room_of, spring_of, turns_available
from sideshake.movement.motion_work import require_motion_work
from sideshake.movement.running import running_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.train import agreed_beats, meshes, speeds, train_of
from sideshake.movement.winding import crown_turns, rotor_lifts, wound_by_key

SIZE_TOLERANCE = 0.02
"""Centre distance and module may differ by 2 % (rounded sheets; no source)."""
HAND_TURNS = {"seconds hand": 60, "minute hand": 1}
BARRELS = {
    "one": "one going barrel",
    IN_SERIES: "two barrels in series",
    IN_PARALLEL: "two barrels in parallel",
}
LEAN_LINES = (
    "barrel.above.pivot_mm",
    "barrel.above.hole_mm",
    "barrel.below.pivot_mm",
    "barrel.below.hole_mm",
    "barrel.span_mm",
    "barrel.endshake_mm",
    "barrel.rim_radius_mm",
    "barrel.toothed_plane_mm",
    "barrel.gap_plate_mm",
    "barrel.gap_bridge_mm",
)

TEETH_LINES = ("barrel.toothed_plane_mm",)
"""Not there in a barrel without teeth, on which a fusee's chain lies."""


class CheckState(Enum):
    """What came of one computation."""

    POSSIBLE = "can"
    LACKING = "cannot yet"
    CONTRADICTED = "contradicts itself"
    UNSAID = "cannot be said"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckResult:
    """One computation tried on a sheet: its result in words, or why there is none."""

    what: str
    state: CheckState
    words: str


def findings(sheet: CalibreSheet) -> tuple[CheckResult, ...]:
    """Return every computation tried on the sheet."""
    return tuple(tried(what, probe, sheet) for what, probe in PROBES)


def tried(what: str, probe: Callable[[CalibreSheet], str], sheet: CalibreSheet) -> CheckResult:
    """Return what one computation says of the sheet."""
    try:
        return CheckResult(what=what, state=CheckState.POSSIBLE, words=probe(sheet))
    except Lacking as lack:
        return CheckResult(what=what, state=CheckState.LACKING, words=str(lack))
    except InputError as fault:
        return CheckResult(what=what, state=CheckState.CONTRADICTED, words=str(fault))
    except NotEnough as reason:
        return CheckResult(what=what, state=CheckState.UNSAID, words=str(reason))


def beats_words(sheet: CalibreSheet) -> str:
    """Return the beats an hour; the train and the sheet must agree."""
    return f"{float(agreed_beats(sheet)):g} beats an hour"


def hands_words(sheet: CalibreSheet) -> str:
    """Return that the hands on the train turn as hands must."""
    found = [
        (each.arbor, each.turns_per_hour)
        for each in speeds(train_of(sheet))
        if each.arbor.carries in HAND_TURNS
    ]
    if not found:
        raise Lacking("no arbor of the train carries a minute hand or a seconds hand")
    for arbor, speed in found:
        right = HAND_TURNS[arbor.carries or ""]
        if speed != right:
            raise InputError(
                f"the {arbor.name} arbor carries the {arbor.carries} and turns {float(speed):g} "
                f"times an hour; that hand needs {right}"
            )
    return ", ".join(f"{arbor.carries} on the {arbor.name} arbor" for arbor, _ in found)


def motion_words(sheet: CalibreSheet) -> str:
    """Return the ratio of the motion work, which must be 12."""
    require_motion_work(sheet.needed("motion_work", "the hour hand's speed"))
    return "12 to 1"


def size_words(sheet: CalibreSheet) -> str:
    """Return that modules, centre distances and the barrel's pitch radius agree."""
    require_pitch_radius(sheet)
    checked = 0
    for mesh in meshes(train_of(sheet)):
        module, distance = mesh.driven.pinion_module_mm, mesh.driven.centre_distance_mm
        if module is None or distance is None:
            continue
        needed = module.value * (mesh.wheel + mesh.pinion) / 2
        if abs(distance.value / needed - 1) > SIZE_TOLERANCE:
            raise InputError(
                f"{mesh.name}: module {module.text()} mm needs a centre distance of "
                f"{needed:.3f} mm, but centre_distance_mm says {distance.text()}"
            )
        checked += 1
    if not checked:
        raise Lacking("no mesh has both pinion_module_mm and centre_distance_mm")
    return f"{checked} meshes agree with their centre distances"


def require_pitch_radius(sheet: CalibreSheet) -> None:
    """Refuse a barrel's pitch radius that is not half its teeth times its module."""
    stated = sheet.barrel.pitch_radius_mm if sheet.barrel else None
    first = next(iter(meshes(train_of(sheet))), None)
    module = first.driven.pinion_module_mm if first else None
    if stated is None or first is None or module is None:
        return
    needed = module.value * first.wheel / 2
    if abs(stated.value / needed - 1) > SIZE_TOLERANCE:
        raise InputError(
            f"barrel.pitch_radius_mm says {stated.text()}, but module {module.text()} mm and "
            f"{first.wheel} teeth make it {needed:.3f} mm"
        )


def spring_words(sheet: CalibreSheet) -> str:
    """Return turns and torque, without friction."""
    room, spring = room_of(sheet), spring_of(sheet)
    turns, strong = turns_available(room, spring), full_torque(room, spring)
    if strong.value <= 0:
        raise InputError(
            f"mainspring.free_turns {spring.free_turns.text()} leaves {strong.text()} mN·m fully "
            "wound: such a spring drives nothing"
        )
    return f"{turns.text()} turns, {strong.text()} mN·m fully wound, without friction"


def reserve_words(sheet: CalibreSheet) -> str:
    """Return the hours of running; the stated reserve must not be longer."""
    whole = running_of(sheet)
    hours = running_h(sheet, whole)
    stated = sheet.nominal.power_reserve_h if sheet.nominal else None
    if stated is not None and stated.value - hours.value > COVERAGE_FACTOR * hypot(
        stated.u, hours.u
    ):
        raise InputError(
            f"nominal.power_reserve_h says {stated.text()} h, but on {whole.turns.text()} of the "
            f"spring's {whole.spring_turns.text()} turns the watch runs {hours.text()} h"
        )
    return f"{hours.text()} h on {whole.turns.text()} of {whole.spring_turns.text()} turns"


def winding_words(sheet: CalibreSheet) -> str:
    """Return the turns of the crown."""
    if wound_by_key(sheet):
        return f"{drive_turns(sheet).text()} turns of the key to full"
    return f"{crown_turns(sheet, drive_turns(sheet)).text()} turns of the crown to full"


def balance_words(sheet: CalibreSheet) -> str:
    """Return the hairspring's stiffness, and the beats it gives back."""
    inertia = sheet.measured("balance.inertia_mg_cm2", "the hairspring's stiffness")
    beats = sheet.whole("beats_per_hour", "the hairspring's stiffness")
    k = stiffness(inertia, beats)
    back = beats_of_swing(period_s(Measured(inertia.value), Measured(k.value)))
    stiff = Measured(k.value * 1e6, k.u * 1e6)
    return f"stiffness {stiff.text()} µN·m/rad at {back.value:.0f}/h"


def power_words(sheet: CalibreSheet) -> str:
    """Return the share of the barrel's power that the balance uses up."""
    require_loss_model(sheet)
    given = barrel_power_uw(drive_torque(sheet), float(hours_per_turn(sheet)))
    purpose = "the power at the balance"
    taken = balance_power_uw(
        sheet.measured("nominal.lying_full_deg", purpose),
        sheet.whole("beats_per_hour", purpose),
        inertia_mg_cm2=sheet.measured("balance.inertia_mg_cm2", purpose),
        quality_factor=sheet.measured("balance.quality_factor", purpose),
    )
    share = propagate(lambda used, all_: 100 * used / all_, taken, given)
    return f"{taken.text()} of {given.text()} µW, {share.text()} %"


def amplitude_words(sheet: CalibreSheet) -> str:
    """Return the nominal amplitudes by which a low one is judged."""
    purpose = "judging an amplitude"
    lying = sheet.measured("nominal.lying_full_deg", purpose)
    hanging = sheet.measured("nominal.hanging_full_deg", purpose)
    if hanging.value > lying.value:
        raise InputError(
            f"nominal.hanging_full_deg {hanging.text()} is above nominal.lying_full_deg "
            f"{lying.text()}"
        )
    return f"{lying.text()}° lying, {hanging.text()}° hanging, fully wound"


def lean_words(sheet: CalibreSheet) -> str:
    """Return that every line is there which the barrel's lean needs."""
    kind = sheet.barrel.kind if sheet.barrel else None
    if kind == "hanging":
        raise NotEnough("the barrel hangs in its bridge alone (barrel.kind): no lean is reckoned")
    fusee = sheet.fusee is not None or kind == "fusee"
    for key in LEAN_LINES:
        if not (fusee and key in TEETH_LINES):
            sheet.measured(key, "the barrel's lean")
    if fusee:
        return "all lines are there; under way it cannot be said, for it pulls a chain"
    return "all lines are there"


def calendar_words(sheet: CalibreSheet) -> str:
    """Return the forbidden hours."""
    forbidden = quick_set(engagement_of(sheet.needed("calendar", "the forbidden hours")))
    return f"{hand_time(forbidden.start_h)} to {hand_time(forbidden.end_h)}"


def day_words(sheet: CalibreSheet) -> str:
    """Return the forbidden hours of the day of the week, if it has a finger of its own."""
    purpose = "the forbidden hours of the day of the week"
    forbidden = quick_set(engagement_of(sheet.needed("day", purpose), "day"))
    return f"{hand_time(forbidden.start_h)} to {hand_time(forbidden.end_h)}"


def drive_words(sheet: CalibreSheet) -> str:
    """Return what drives the train, and what a fusee makes of its barrel's torque."""
    if sheet.fusee is None:
        stop = sheet.drive.stop_work if sheet.drive else None
        turns, strong = drive_turns(sheet), drive_torque(sheet)
        return f"{BARRELS[barrels_of(sheet)]}: {turns.text()} turns, {strong.text()} mN·m" + (
            f"; stop work: {stop}" if stop and stop != "none" else ""
        )
    found = pull_of_fusee(sheet)
    even = found.last_over_full
    return (
        f"fusee: the chain takes {found.barrel_turns.text()} turns of the barrel; the torque falls "
        f"or grows to {Measured(100 * even.value, 100 * even.u).text()} % by the end"
    )


def ear_words(sheet: CalibreSheet) -> str:
    """Return that the amplitude can be told from the sound, with the sheet's lift angle."""
    lift = sheet.measured("lift_angle_deg", "the amplitude by ear")
    require_heard_amplitude(sheet)
    kind = limits_of(sheet)
    return (
        f"with a lift angle of {lift.text()}° ({kind.name} escapement, {kind.noises} noises a beat)"
    )


def regulating_words(sheet: CalibreSheet) -> str:
    """Return what the rate is set with."""
    way = sheet.needed("balance.regulating", "what the rate is set with")
    if way == "free-sprung":
        return "free-sprung: by the weights of the balance; there are no pins to look at"
    return "by the index: its pins act on the rate too"


def rotor_words(sheet: CalibreSheet) -> str:
    """Return the lift of the rotor's rim with its bearing new."""
    return ", ".join(
        f"{each.lift_mm.text()} mm of {each.gap_mm.text()} mm to the {each.towards}"
        for each in rotor_lifts(sheet)
    )


def chronograph_words(sheet: CalibreSheet) -> str:
    """Return the largest jump of the chronograph hand at the start: one tooth."""
    if friction_clutch(sheet):
        return "no jump by a tooth: a vertical clutch takes hold by friction"
    teeth = sheet.whole("chronograph.wheel_teeth", "the jump of the chronograph hand")
    return f"at most {60 / teeth:.2f} s, one tooth"


PROBES: tuple[tuple[str, Callable[[CalibreSheet], str]], ...] = (
    ("beats an hour", beats_words),
    ("hands on the train", hands_words),
    ("motion work", motion_words),
    ("sizes of the meshes", size_words),
    ("mainspring", spring_words),
    ("drive", drive_words),
    ("running time", reserve_words),
    ("winding by hand", winding_words),
    ("balance", balance_words),
    ("power", power_words),
    ("amplitude", amplitude_words),
    ("amplitude by ear", ear_words),
    ("setting the rate", regulating_words),
    ("barrel's lean", lean_words),
    ("date quick-set", calendar_words),
    ("day quick-set", day_words),
    ("rotor", rotor_words),
    ("chronograph start", chronograph_words),
)
