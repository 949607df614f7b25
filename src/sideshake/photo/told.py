"""What a measured hole is told as, in sentences; command, page and paper say the same."""

from sideshake.core.quantities import Measured
from sideshake.photo.budget import UncertaintyCause
from sideshake.photo.hole import HoleSeen
from sideshake.photo.turned import TurnedPhotographs
from sideshake.wording import noop

CAUSES = {
    UncertaintyCause.EDGE: "scatter of the edge",
    UncertaintyCause.SCALE: "scale",
    UncertaintyCause.HEIGHT: "height of the card",
    UncertaintyCause.TILT: "hole not parallel to the card, or tilt",
    UncertaintyCause.LIGHT: "light and the camera's contrast",
    UncertaintyCause.FORM: "where on the rim the edge is seen",
}
CONVENTION = "from 3 o'clock, counter-clockwise, seen from the bridge"
ACROSS = noop("The hole is {mean} mm across, on the mean.")
ROUND = noop(
    "Round, as far as this photograph can tell: {mean} mm across, oval by {most} mm at most."
)
OVAL = noop(
    "Oval by {oval} mm: {long} mm long and {short} mm across, the long axis at {direction} (from 3 "
    "o'clock, counter-clockwise, seen from the bridge)."
)
TURNS = noop(
    "Turning with the part, so wear: oval by {oval} mm, the long axis at {direction} (from 3 "
    "o'clock, counter-clockwise, seen from the bridge)."
)
NOTHING_TURNS = noop("Nothing turns with the part: worn oval by {most} mm at most.")
KEPT = (ACROSS, ROUND, OVAL, TURNS, NOTHING_TURNS)
"""What is kept with a size that was measured in a photograph."""
NO_OVAL = "Light from behind tells no oval: it shows the narrowest place of the whole thickness."
JEWEL = "The side shake of a jewel hole, 0.01 mm, is out of reach of any photograph."


def hole_sentence(hole: HoleSeen) -> str:
    """Return what was found, in a sentence."""
    if hole.oval is None or hole.oval_mm is None:
        return ACROSS.format(mean=hole.mean_mm.text())
    if hole.direction_deg is None:
        return ROUND.format(mean=hole.mean_mm.text(), most=f"{most(hole.oval_mm):.3f}")
    return OVAL.format(
        oval=hole.oval_mm.text(),
        long=hole.long_mm.text(),
        short=hole.short_mm.text(),
        direction=degrees(hole.direction_deg),
    )


def turned_sentences(turned: TurnedPhotographs) -> list[str]:
    """Return what several photographs with the part turned between tell together."""
    if turned.contradict:
        return [
            "The photographs contradict each other: check by how much the part was turned, and "
            "that all show the same hole."
        ]
    wear, camera = turned.wear, turned.camera
    told = (
        TURNS.format(oval=wear.oval_mm.text(), direction=degrees(wear.direction_deg))
        if wear.direction_deg
        else NOTHING_TURNS.format(most=f"{most(wear.oval_mm):.3f}")
    )
    stays = (
        f"Staying, so the camera's: {camera.oval_mm.text()} mm, at "
        f"{degrees(camera.direction_deg)} in the picture."
        if camera.direction_deg
        else "Nothing stays as the part turns: the camera adds no oval of its own that shows."
    )
    return [told, stays]


def budget_rows(hole: HoleSeen) -> list[tuple[str, str, str]]:
    """Return what each cause adds to size and oval, as 95 % half-widths in micrometres.

    Nothing stands under the oval where none is told.
    """
    return [
        (
            CAUSES[each.cause],
            f"{2000 * each.size_mm:.1f}",
            "" if hole.oval is None else f"{2000 * each.oval_mm:.1f}",
        )
        for each in hole.budget
    ]


def most(value: Measured) -> float:
    """Return the upper end of a value's 95 % interval."""
    return value.value + value.expanded


def degrees(value: Measured) -> str:
    """Return a direction with its interval."""
    return f"{value.value:.0f} ± {max(1.0, value.expanded):.0f}°"


def notes_of(hole: HoleSeen) -> list[str]:
    """Return what must be said beside a hole's figures."""
    told = []
    if hole.behind:
        told.append(NO_OVAL)
    if hole.rim.burnt > 0.05:
        told.append(
            f"{100 * hole.rim.burnt:.0f} % of the bright side is burnt out; the edge was moved "
            f"back by {1000 * hole.rim.cut_px * hole.mm_a_pixel:.1f} µm from where it seems to be."
        )
    if hole.card is None:
        told.append(
            "Without the card nobody can tell how square the camera looked: up to 5° are "
            "reckoned with."
        )
    told.append(JEWEL)
    return told
