"""The places of a watch that can be worn: what turns there, and what a sound one measures.

Which there are tells the calibre's sheet; without one every place that a watch may have. A name
such as `third.above` stands for one bearing; that of the barrel's arbor is `barrel.above`.
"""

import math
import re
from dataclasses import dataclass, replace
from itertools import chain, pairwise

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet import CalibreSheet, SheetBearing
from sideshake.wear.bearing import NormalPlay, by_sheet, play_by_pivot, sound_range
from sideshake.wear.place_usual import USUAL, PlaceKind
from sideshake.wear.verdict import BOTH, BearingPlace

K = PlaceKind
LONGEST_NAME = 24
USUAL_ARBORS = ("centre", "third", "fourth", "escape")
OF_TRAIN = {"centre": K.CENTRE, "third": K.THIRD, "fourth": K.FOURTH, "escape": K.ESCAPE}
BARREL_TABLES = {
    "barrel.above": ("above", "above", "barrel arbor, above"),
    "barrel.below": ("below", "below", "barrel arbor, below"),
    "barrel.lid": ("lid", "on_arbor_above", "barrel's lid on its arbor"),
    "barrel.floor": ("floor", "on_arbor_below", "barrel's floor on its arbor"),
}
"""By a place's name: its table in the measurements, its line in the sheet, what it is called."""
OF_BEARING = "bearing."
"""The keys of the sizes of all other places begin so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchPlace:
    """A bearing of a watch by its name, with what is expected of a sound one.

    Parameters
    ----------
    table : the keys of its sizes begin so, with a point behind
    arbor : what turns there; both bearings of an arbor have the same
    lines : the sheet's lines of this bearing, if it has any
    normal : the play of a sound one; None where it follows from the pivot's size
    rim_radius_mm : of the wheel on the arbor, if the sheet tells it
    """

    name: str
    table: str
    words: str
    arbor: str
    kind: PlaceKind
    side: BearingPlace | None = None
    lines: SheetBearing | None = None
    normal: NormalPlay | None = None
    endshake: NormalPlay | None = None
    rim_radius_mm: Measured | None = None

    @property
    def is_barrel(self) -> bool:
        """Return whether the barrel's own judgement judges it."""
        return self.kind is K.BARREL

    @property
    def hole_mm(self) -> Measured | None:
        """Return the hole of a sound one, if the sheet tells it."""
        return self.lines.hole_mm if self.lines else None

    @property
    def pivot_mm(self) -> Measured | None:
        """Return the pivot of a sound one, if the sheet tells it."""
        return self.lines.pivot_mm if self.lines else None

    @property
    def jewelled(self) -> bool:
        """Return whether its hole is a jewel: by the sheet, else as is usual."""
        told = self.lines.jewelled if self.lines else None
        return USUAL[self.kind].jewelled if told is None else told

    @property
    def normal_play(self) -> NormalPlay:
        """Return the play of a sound one, by the sheet, or as is usual for the kind or pivot."""
        if self.normal:
            return self.normal
        return play_by_pivot(self.pivot_mm.value if self.pivot_mm else self.usual_pivot_mm)

    @property
    def usual_pivot_mm(self) -> float:
        """Return the middle of the usual sizes of a pivot here, by their ratio."""
        low, high = USUAL[self.kind].pivot_mm
        return math.sqrt(low * high)


def watch_places(sheet: CalibreSheet | None) -> tuple[WatchPlace, ...]:
    """Return the places of a movement in the order of its train, barrel first.

    Examples
    --------
    >>> [each.name for each in watch_places(None)][:6]
    ['barrel.above', 'barrel.below', 'barrel.lid', 'barrel.floor', 'centre.above', 'centre.below']
    """
    parts = (barrel_places, train_places, swinging_places, rotor_places, chronograph_places)
    found = chain.from_iterable(part(sheet) for part in (*parts, calendar_places, hand_places))
    return tuple({each.name: each for each in found}.values())


def place_named(sheet: CalibreSheet | None, name: str) -> WatchPlace:
    """Return a place by its name.

    Raises
    ------
    InputError : the movement has no such place; those it has are named
    """
    places = watch_places(sheet)
    found = next((each for each in places if each.name == name), None)
    if found is None:
        known = ", ".join(each.name for each in places)
        raise InputError(f"no place of this movement is called {name!r}; there are {known}")
    return found


def plain_name(arbor: str) -> str:
    """Return an arbor's name as it stands in a key.

    Examples
    --------
    >>> plain_name("Second wheel (large)")
    'second-wheel-large'
    """
    return re.sub(r"[\W_]+", "-", arbor.lower()).strip("-")[:LONGEST_NAME] or "arbor"


def barrel_places(sheet: CalibreSheet | None) -> list[WatchPlace]:
    """Return the four bearings of the barrel."""
    barrel = sheet.barrel if sheet else None
    return [
        WatchPlace(
            name=name,
            table=table,
            words=words,
            arbor="barrel",
            kind=K.BARREL,
            side=BearingPlace(table) if table in list(BearingPlace) else None,
            lines=getattr(barrel, line, None),
            normal=play_of_sound(getattr(barrel, line, None)),
            endshake=barrel_endshake(sheet, on_arbor=table in ("lid", "floor")),
        )
        for name, (table, line, words) in BARREL_TABLES.items()
    ]


def barrel_endshake(sheet: CalibreSheet | None, *, on_arbor: bool) -> NormalPlay | None:
    """Return the endshake of the arbor, or of the barrel on it: by the sheet, or as is usual."""
    barrel = sheet.barrel if sheet else None
    told = None
    if barrel:
        told = barrel.barrel_endshake_mm if on_arbor else barrel.endshake_mm
    if told is None:
        return USUAL[K.BARREL].endshake
    return by_sheet(max(told.value - told.expanded, 0.0), told.value + told.expanded)


def train_places(sheet: CalibreSheet | None) -> list[WatchPlace]:
    """Return both bearings of each arbor between barrel and escapement."""
    named = [each.name for each in sheet.train.arbors] if sheet and sheet.train else []
    arbors = [each for each in named if each.lower() not in ("barrel", "fusee")] or USUAL_ARBORS
    radii = wheel_radii(sheet)
    made: list[WatchPlace] = []
    for arbor in arbors:
        kind = OF_TRAIN.get(arbor.lower(), K.TRAIN)
        words = arbor if arbor.lower().endswith("wheel") else f"{arbor} wheel"
        sides = both_sides(arbor, words, kind, sheet)
        made += [replace(each, rim_radius_mm=radii.get(arbor)) for each in sides]
    return made


def swinging_places(sheet: CalibreSheet | None) -> list[WatchPlace]:
    """Return the bearings of pallets and balance; a cylinder escapement has no pallets."""
    escapement = sheet.escapement if sheet else None
    cylinder = bool(escapement and escapement.kind == "cylinder")
    pallets = [] if cylinder else both_sides("pallets", "pallets", K.PALLETS, sheet)
    staff = sheet.balance.pivot_mm if sheet and sheet.balance else None
    own = SheetBearing(pivot_mm=staff, jewelled=True) if staff else None
    return [*pallets, *both_sides("balance", "balance", K.BALANCE, sheet, lines=own)]


def rotor_places(sheet: CalibreSheet | None) -> list[WatchPlace]:
    """Return the rotor's bearing."""
    work = sheet.automatic if sheet else None
    if sheet and not work:
        return []
    kind = K.ROTOR_BALLS if work and work.bearing == "ball" else K.ROTOR_POST
    words = "rotor on its ball race" if kind is K.ROTOR_BALLS else "rotor on its post"
    new = work.play_mm if work else None
    normal = USUAL[kind].play
    if new and new.value > 0:
        normal = by_sheet(max(new.value - new.expanded, 0.0), new.value + new.expanded)
    return [one_place("rotor", words, kind, normal=normal)]


def chronograph_places(sheet: CalibreSheet | None) -> list[WatchPlace]:
    """Return the bearings of the chronograph's wheels."""
    work = sheet.chronograph if sheet else None
    if sheet and not work:
        return []
    names = {"runner": "chronograph runner", "minute-counter": "minute counter"}
    if work is None or work.hour_counter:
        names["hour-counter"] = "hour counter"
    if work is None or work.coupling in (None, "swinging wheel"):
        names["intermediate"] = "chronograph's intermediate wheel"
    made = (both_sides(name, words, K.CHRONOGRAPH, sheet) for name, words in names.items())
    return list(chain.from_iterable(made))


def calendar_places(sheet: CalibreSheet | None) -> list[WatchPlace]:
    """Return the posts on which the calendar's wheels turn."""
    made: list[WatchPlace] = []
    if sheet is None or sheet.calendar:
        made.append(one_place("date-driver", "driving wheel of the date", K.CALENDAR))
        made.append(one_place("date-ring", "date ring on its seat", K.CALENDAR))
    if sheet and sheet.day:
        made.append(one_place("day-driver", "driving wheel of the day", K.CALENDAR))
    return made


def hand_places(_sheet: CalibreSheet | None) -> list[WatchPlace]:
    """Return the places of motion work and stem."""
    return [
        one_place("cannon-pinion", "hour wheel on the cannon pinion", K.HANDS),
        one_place("minute-wheel", "minute wheel on its post", K.HANDS),
        one_place("stem", "winding stem in the plate", K.STEM),
    ]


def both_sides(
    arbor: str,
    words: str,
    kind: PlaceKind,
    sheet: CalibreSheet | None,
    *,
    lines: SheetBearing | None = None,
) -> list[WatchPlace]:
    """Return the bearings of an arbor in bridge and plate; `lines` where the sheet has none."""
    told = {(each.arbor.lower(), each.side): each for each in (sheet.bearings if sheet else ())}
    name, usual = plain_name(arbor), USUAL[kind]
    return [
        WatchPlace(
            name=f"{name}.{side}",
            table=f"{OF_BEARING}{name}.{side}",
            words=f"{words}, {side}",
            arbor=name,
            kind=kind,
            side=side,
            lines=told.get((arbor.lower(), side.value), lines),
            normal=play_of_sound(told.get((arbor.lower(), side.value), lines)) or usual.play,
            endshake=usual.endshake,
        )
        for side in reversed(BOTH)
    ]


def one_place(
    name: str, words: str, kind: PlaceKind, *, normal: NormalPlay | None = None
) -> WatchPlace:
    """Return a place that has one bearing."""
    usual = USUAL[kind]
    return WatchPlace(
        name=name,
        table=f"{OF_BEARING}{name}",
        words=words,
        arbor=name,
        kind=kind,
        normal=normal or usual.play,
        endshake=usual.endshake,
    )


def play_of_sound(lines: SheetBearing | None) -> NormalPlay | None:
    """Return the play the sheet gives a sound bearing, if it does."""
    if lines is None or lines.hole_mm is None or lines.pivot_mm is None:
        return None
    low, high = sound_range(lines.hole_mm.value, lines.pivot_mm.value)
    return by_sheet(low, high)


def wheel_radii(sheet: CalibreSheet | None) -> dict[str, Measured]:
    """Return the radius of each wheel's pitch circle: half its teeth times the mesh's module."""
    arbors = sheet.train.arbors if sheet and sheet.train else ()
    found: dict[str, Measured] = {}
    for before, each in pairwise(arbors):
        driver = next((one for one in arbors if one.name == each.driven_by), before)
        teeth, module = each.driver_wheel or driver.wheel, each.pinion_module_mm
        if teeth and module:
            found[driver.name] = Measured(module.value * teeth / 2, module.u * teeth / 2)
    return found
