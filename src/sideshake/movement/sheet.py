"""The calibre sheet: one movement described once, every line optional until something needs it.

Lengths are in millimetres, angles in degrees, "above" is the bridge side and "below" the plate
side. A measured line may carry its 95 % interval: `hole_mm = "0.92+-0.02"`.
"""

from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, Field, model_validator

from sideshake.core.errors import InputError, Lacking
from sideshake.core.quantities import Measured
from sideshake.movement.lines import Gap, Share, SheetSection, Signed, Size, Teeth, line
from sideshake.movement.sections import (
    Automatic,
    Balance,
    Calendar,
    Chronograph,
    Driving,
    Escapement,
    Fusee,
)


class LineSource(SheetSection):
    """Where one line of the sheet comes from."""

    key: str
    text: str = ""
    from_memory: bool = False


class SheetBearing(SheetSection):
    """A pivot and the hole it turns in."""

    pivot_mm: Size | None = line("diameter of the pivot", "0.90+-0.006")
    hole_mm: Size | None = line("diameter of the hole the pivot turns in", "0.92+-0.006")
    jewelled: bool | None = line("whether the hole is a jewel", False)
    thickness_mm: Size | None = line("thickness of the plate, bridge or jewel at the hole", 0.60)
    outside_mm: Size | None = line("outside diameter of the jewel or bush, if there is one", 2.00)

    @model_validator(mode="after")
    def pivot_must_enter(self) -> "SheetBearing":
        """Refuse a pivot larger than its hole."""
        require_smaller(self.pivot_mm, self.hole_mm, "pivot_mm", "hole_mm")
        require_smaller(self.hole_mm, self.outside_mm, "hole_mm", "outside_mm")
        return self


class TrainBearing(SheetBearing):
    """A bearing of the train: which arbor, which side."""

    arbor: str = Field(description="the arbor that turns in it", examples=["third"])
    side: Literal["above", "below"] = Field(
        description="above: in the bridge; below: in the plate", examples=["above"]
    )


class SheetBarrel(SheetSection):
    """The barrel, its arbor, its bearings and the room around it."""

    teeth: Teeth | None = line("teeth of the barrel", 80)
    bore_mm: Size | None = line("inside diameter of the barrel", 10.00)
    core_mm: Size | None = line("diameter of the arbor's core, where the spring hooks on", 3.20)
    height_mm: Size | None = line("inside height, floor to lid: the room for the spring", 1.45)
    above: SheetBearing | None = line("the arbor's upper pivot and its hole in the barrel bridge")
    below: SheetBearing | None = line("the arbor's lower pivot and its hole in the plate")
    on_arbor_above: SheetBearing | None = line("the lid's hole on the arbor")
    on_arbor_below: SheetBearing | None = line("the floor's hole on the arbor")
    span_mm: Size | None = line("distance between the middles of the arbor's two bearings", 2.70)
    lid_to_floor_mm: Size | None = line(
        "distance between the middles of the barrel's two holes on the arbor", 1.80
    )
    endshake_mm: Gap | None = line("axial play of the arbor between plate and bridge", "0.03+-0.02")
    barrel_endshake_mm: Gap | None = line("axial play of the barrel on its arbor", "0.04+-0.02")
    rim_radius_mm: Size | None = line("largest radius of the barrel, over the teeth", 5.75)
    pitch_radius_mm: Size | None = line("radius of the pitch circle of the barrel's teeth", 5.60)
    toothed_plane_mm: Gap | None = line(
        "height of the middle of the teeth above the middle of the lower bearing", 0.70
    )
    gap_plate_mm: Gap | None = line("free gap rim to plate, arbor upright in mid endshake", 0.20)
    gap_bridge_mm: Gap | None = line("free gap rim to bridge, arbor upright in mid endshake", 0.18)
    gap_neighbour_mm: Gap | None = line("free gap to the nearest wheel over or under the rim", 0.15)
    neighbour: str | None = line("which wheel that is", "centre wheel")
    shoulder_above_mm: Size | None = line(
        "diameter of the arbor's shoulder under the bridge", "1.40+-0.02"
    )
    shoulder_below_mm: Size | None = line(
        "diameter of the arbor's shoulder over the plate", "1.40+-0.02"
    )
    ratchet_radius_mm: Size | None = line(
        "radius at which click and crown wheel touch the ratchet wheel", "4.20+-0.10"
    )
    ratchet_plane_mm: Size | None = line(
        "height of the middle of the ratchet wheel above the middle of the lower bearing",
        "3.25+-0.06",
    )
    kind: Literal["going", "hanging", "fusee"] | None = line(
        "going: arbor held by plate and bridge, teeth on the drum; hanging: held by the bridge "
        "alone; fusee: pulls a chain",
        "going",
    )
    arbor_turns_while_running: bool | None = line(
        "false for an ordinary going barrel, whose arbor stands still while the watch runs", False
    )

    @model_validator(mode="after")
    def parts_must_fit(self) -> "SheetBarrel":
        """Refuse a core as wide as the bore, teeth inside the pitch circle, a barrel too large."""
        require_smaller(self.core_mm, self.bore_mm, "core_mm", "bore_mm")
        rim = self.rim_radius_mm and Measured(
            2 * self.rim_radius_mm.value, 2 * self.rim_radius_mm.u
        )
        require_smaller(self.bore_mm, rim, "bore_mm", "twice rim_radius_mm,")
        require_smaller(self.lid_to_floor_mm, self.span_mm, "lid_to_floor_mm", "span_mm")
        require_smaller(
            self.pitch_radius_mm, self.rim_radius_mm, "pitch_radius_mm", "rim_radius_mm"
        )
        require_smaller(self.toothed_plane_mm, self.span_mm, "toothed_plane_mm", "span_mm")
        return self


class Mainspring(SheetSection):
    """The mainspring the calibre was made for."""

    thickness_mm: Size | None = line("thickness of the strip", 0.115)
    height_mm: Size | None = line("height (width) of the strip", 1.30)
    length_mm: Size | None = line("working length of the strip", 306.5)
    elastic_gpa: Size | None = line("modulus of elasticity of the strip", 205)
    free_turns: Signed | None = line(
        "turns the free spring is curled by itself; negative if curled the other way", 6
    )
    slipping_bridle: bool | None = line("whether the outer end slips near full wind", False)
    bridle_turns: Gap | None = line("turns before full wind at which a bridle slips", "0.5+-0.5")
    stop_work_turns: Size | None = line("turns that the stop work lets the watch use", 4)
    set_up_turns: Gap | None = line(
        "turns the spring is wound when the stop work lets go; half of the rest if left out", 1
    )
    last_turns: Gap | None = line("turns left on the spring when the watch stops", "0.8+-0.6")
    efficiency: Share | None = line(
        "barrel efficiency: share of the strip's torque that reaches the teeth", "0.85+-0.06"
    )


class Arbor(SheetSection):
    """One arbor of the going train."""

    name: str = Field(description="the arbor's name", examples=["third"])
    pinion: Teeth | None = line("leaves of its pinion", 10)
    wheel: Teeth | None = line("teeth of its wheel", 75)
    driven_by: str | None = line(
        "the arbor whose wheel drives this pinion; the one before it if left out", "centre"
    )
    driver_wheel: Teeth | None = line(
        "teeth of the wheel that drives its pinion, where that is a second wheel on the driver's "
        "arbor (an indirect seconds hand)",
        60,
    )
    friction_spring: bool | None = line(
        "whether a spring brakes it so that its hand does not flutter", False
    )
    carries: str | None = line("the hand or other part it carries", "seconds hand")
    pinion_module_mm: Size | None = line("module of the pinion's mesh", 0.11)
    centre_distance_mm: Size | None = line("distance to the arbor that drives it", 4.95)


class Train(SheetSection):
    """The going train, barrel first, escape wheel last; and who turns at a known speed."""

    arbors: tuple[Arbor, ...] = Field(
        default=(), description="the arbors in order of driving, barrel first, escape wheel last"
    )
    reference: str | None = line("an arbor whose speed is known", "centre")
    reference_turns_per_hour: str | None = line('its turns an hour, such as "1" or "1/12"', "1")


class MotionWork(SheetSection):
    """From the minute hand to the hour hand."""

    cannon_pinion: Teeth | None = line("leaves of the cannon pinion", 12)
    minute_wheel: Teeth | None = line("teeth of the minute wheel", 36)
    minute_pinion: Teeth | None = line("leaves of the minute pinion", 10)
    hour_wheel: Teeth | None = line("teeth of the hour wheel", 40)


class Winding(SheetSection):
    """From the crown, or the key, to the barrel arbor."""

    winding_pinion: Teeth | None = line("teeth of the winding pinion", 14)
    crown_wheel: Teeth | None = line("teeth of the crown wheel where the winding pinion drives", 34)
    crown_wheel_out: Teeth | None = line(
        "teeth of the crown wheel where it drives the ratchet wheel, if it has a second set", 34
    )
    ratchet_wheel: Teeth | None = line("teeth of the ratchet wheel on the barrel arbor", 56)
    ratchet_module_mm: Size | None = line("module of the ratchet wheel", 0.15)
    by: Literal["crown wheel", "key", "rotor"] | None = line(
        "what turns the ratchet wheel: the crown wheel, a key on the arbor, or a rotor's train",
        "crown wheel",
    )


class SheetDirections(SheetSection):
    """Where the barrel's partners lie, from its centre, degrees from 3 o'clock, counter-clockwise.

    Seen from the bridge. Of click and crown wheel it is the place where they touch the ratchet
    wheel, not the direction in which they push.
    """

    centre_wheel_deg: Signed | None = line("direction of the pinion the barrel drives", 90)
    click_deg: Signed | None = line("where the click holds the ratchet wheel", "210+-5")
    crown_wheel_deg: Signed | None = line("where the crown wheel touches the ratchet wheel", 0)
    turns: Literal["clockwise", "counter-clockwise"] | None = line(
        "which way the barrel turns, seen from the bridge", "clockwise"
    )


class SheetNominal(SheetSection):
    """What a sound movement of this calibre does, and the limits it is judged by."""

    lying_full_deg: Size | None = line("amplitude lying, fully wound", "285+-20")
    hanging_full_deg: Size | None = line("amplitude hanging, fully wound", "245+-20")
    lying_24h_deg: Size | None = line("amplitude lying, after 24 h", "245+-20")
    hanging_24h_deg: Size | None = line("amplitude hanging, after 24 h", "210+-20")
    least_hanging_24h_deg: Size | None = line("limit: amplitude hanging after 24 h, at least", 190)
    chronograph_drop_deg: Gap | None = line("limit: fall of amplitude with chronograph on", 40)
    power_reserve_h: Size | None = line("power reserve", 46)
    viscous_share: Share | None = line(
        "share of the balance's loss at the nominal amplitude that is viscous", "0.8+-0.30"
    )


class CalibreSheet(SheetSection):
    """One movement. `sources` tells where a line comes from, when the sheet says so."""

    name: str = Field(description="the calibre's name", examples=["Tarnbrook 31"])
    kind: str | None = line("what it is, in a few words", "hand-wound chronograph")
    invented: bool | None = line("true for a calibre that exists only in this demo", True)
    diameter_mm: Size | None = line("diameter of the movement", 31.0)
    beats_per_hour: Teeth | None = line("beats an hour", 18000)
    lift_angle_deg: Size | None = line("lift angle of the escapement", 50)
    u_mm: float | None = line(
        "standard uncertainty of a length without +-; else half its last digit", 0.005, gt=0
    )
    jewels: Teeth | None = line("functional jewels, as engraved", 17)
    escapement: Escapement | None = line("the escapement")
    drive: Driving | None = line("what drives the train: one barrel or two, stop work")
    weak_points: tuple[str, ...] | None = line("known weak points, in words", ["barrel bridge"])
    barrel: SheetBarrel | None = line("the barrel")
    mainspring: Mainspring | None = line("the mainspring")
    train: Train | None = line("the going train")
    motion_work: MotionWork | None = line("the motion work")
    winding: Winding | None = line("the winding work")
    directions: SheetDirections | None = line("where the barrel's partners lie")
    automatic: Automatic | None = line("the automatic winding")
    balance: Balance | None = line("the balance")
    bearings: tuple[TrainBearing, ...] = Field(default=(), description="bearings of the train")
    fusee: Fusee | None = line("the fusee, if the barrel pulls one by a chain")
    calendar: Calendar | None = line("the calendar")
    day: Calendar | None = line("the day of the week, if it has a finger of its own")
    chronograph: Chronograph | None = line("the chronograph")
    nominal: SheetNominal | None = line("nominal figures and limits")
    sources: tuple[LineSource, ...] = Field(default=(), description="sources of single lines")

    def measured(self, key: str, purpose: str) -> Measured:
        """Return the measured value at a dotted key such as "barrel.above.hole_mm".

        Raises
        ------
        Lacking : the sheet lacks it; the message names the key, its meaning and `purpose`
        """
        found = self.needed(key, purpose)
        if not isinstance(found, Measured):
            raise KeyError(f"{key} is no measured line")
        return found

    def whole(self, key: str, purpose: str) -> int:
        """Return the whole number (teeth, beats) at a dotted key; as `measured` if missing."""
        found = self.needed(key, purpose)
        if not isinstance(found, int):
            raise KeyError(f"{key} is no whole number")
        return found

    def needed(self, key: str, purpose: str) -> Any:
        """Return whatever stands at a dotted key, or say what lacks it."""
        found: Any = self
        for part in key.split("."):
            found = step_into(found, part)
        if found is None:
            raise Lacking(
                f"the sheet of {self.name} has no line {key} ({meaning(key)}); "
                f"it is needed for {purpose}",
                key=key,
            )
        return found

    def from_memory(self, *keys: str) -> tuple[str, ...]:
        """Return those of the lines, or of the lines in these sections, that are from memory."""
        return tuple(
            each.key
            for each in self.sources
            if each.from_memory and any(f"{each.key}.".startswith(f"{key}.") for key in keys)
        )

    def source(self, key: str) -> LineSource:
        """Return where a line comes from; an empty text when the sheet does not say."""
        return next((each for each in self.sources if each.key == key), LineSource(key=key))


def step_into(found: Any, part: str) -> Any:
    """Return one step down the sheet: a line by its name, a row of a list by its place."""
    if found is None:
        return None
    if part.isdigit():
        return found[int(part)] if int(part) < len(found) else None
    return getattr(found, part)


def require_smaller(
    small: Measured | None, large: Measured | None, small_name: str, large_name: str
) -> None:
    """Refuse two values of which the first should be smaller, naming both."""
    if small is not None and large is not None and small.value >= large.value:
        raise InputError(
            f"{small_name} {small.text()} must be smaller than {large_name} {large.text()}"
        )


def meaning(key: str) -> str:
    """Return what the line at a dotted key means, list positions left out."""
    section: type[BaseModel] = CalibreSheet
    text = ""
    for part in (part for part in key.split(".") if not part.isdigit()):
        field = section.model_fields.get(part)
        if field is None:
            return "no such line"
        text = field.description or ""
        section = section_of(field.annotation) or SheetSection
    return text


def section_of(annotation: Any) -> type[SheetSection] | None:
    """Return the section a line holds (alone or in a list), if it holds one."""
    if isinstance(annotation, type) and issubclass(annotation, SheetSection):
        return annotation
    if get_origin(annotation) in {UnionType, Union, tuple}:
        found = (section_of(each) for each in get_args(annotation))
        return next((each for each in found if each is not None), None)
    return None


def holds_many(annotation: Any) -> bool:
    """Return whether a line holds a list."""
    return get_origin(annotation) is tuple or any(map(holds_many, get_args(annotation)))
