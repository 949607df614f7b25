"""What a watch's measurements and its sheet know of the parts that push the barrel."""

from typing import TYPE_CHECKING, Any

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.barrel import Barrel
from sideshake.wear.loads import KnownParts, Winder
from sideshake.wear.mesh import Turns

if TYPE_CHECKING:
    from sideshake.wear.measurements import Measurements

PURPOSE = "the barrel's lean"


def known_parts(sheet: CalibreSheet, found: "Measurements", barrel: Barrel) -> KnownParts:
    """Return what is known of the parts that push: measured, else from the sheet, else None."""

    def place(name: str) -> Any:
        return getattr(found.directions, name) or getattr(sheet.directions, name, None)

    turns = place("turns")
    return KnownParts(
        rim_radius_mm=sheet.measured("barrel.rim_radius_mm", PURPOSE),
        centre_wheel_deg=place("centre_wheel_deg"),
        click_deg=place("click_deg"),
        crown_wheel_deg=place("crown_wheel_deg"),
        turns=Turns(turns) if turns else None,
        pitch_radius_mm=getattr(sheet.barrel, "pitch_radius_mm", None),
        toothed_plane_mm=getattr(sheet.barrel, "toothed_plane_mm", None),
        ratchet_radius_mm=found.barrel.ratchet_radius_mm or ratchet_radius(sheet),
        ratchet_plane_mm=found.barrel.ratchet_plane_mm
        or getattr(sheet.barrel, "ratchet_plane_mm", None),
        bridge_mm=barrel.arbor.upper.thickness_mm,
        winder=winder(sheet),
    )


def ratchet_radius(sheet: CalibreSheet) -> Measured | None:
    """Return the ratchet wheel's radius: the sheet's line, else half its teeth times its module."""
    stated: Measured | None = getattr(sheet.barrel, "ratchet_radius_mm", None)
    work = sheet.winding
    if stated or not (work and work.ratchet_wheel and work.ratchet_module_mm):
        return stated
    teeth = work.ratchet_wheel
    return propagate(lambda module: module * teeth / 2, work.ratchet_module_mm)


def winder(sheet: CalibreSheet) -> Winder:
    """Return what turns the ratchet wheel; the crown wheel unless the sheet says otherwise."""
    stated = sheet.winding.by if sheet.winding else None
    return Winder(stated) if stated else Winder.CROWN_WHEEL


def require_two_bearings(sheet: CalibreSheet) -> None:
    """Refuse a barrel that hangs in the bridge alone: what holds its arbor is not two holes."""
    if sheet.barrel and sheet.barrel.kind == "hanging":
        raise NotEnough(
            f"the barrel of {sheet.name} hangs in its bridge alone (barrel.kind), and this "
            "reckoning needs an arbor held by plate and bridge: there is no honest lean for it; "
            "press on the rim and measure what it moves"
        )


def unusual_words(sheet: CalibreSheet) -> str:
    """Return why loads are not reckoned on this barrel; empty for the usual going barrel."""
    barrel = sheet.barrel
    if sheet.fusee or (barrel and barrel.kind == "fusee"):
        return (
            "This barrel pulls a fusee's chain and is no going barrel: how it stands under way and "
            "while it is wound is not reckoned, only how far it can lean."
        )
    if barrel and barrel.arbor_turns_while_running:
        return (
            "Here the arbor turns while the watch runs, unlike in the usual going barrel: how it "
            "stands under way and while it is wound is not reckoned, only how far it can lean."
        )
    return ""
