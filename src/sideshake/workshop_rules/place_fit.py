"""The new part for a worn bearing beside the barrel, from the same judgement and the same fit."""

from sideshake.core.errors import NotEnough
from sideshake.fit.jewel import Seat, choose_part, hole_for, stocked_step
from sideshake.fit.materials import BRONZE, RUBY
from sideshake.fit.workshop import WorkshopTools, parts_in
from sideshake.wear.measurements import GUESSED_THICKNESS_MM
from sideshake.wear.place_judged import PlaceJudged, PlaceStage
from sideshake.wear.place_usual import PlaceKind
from sideshake.wear.verdict import LEAST_JEWEL_RING_MM, takes_ring
from sideshake.workshop_rules.repair import fit_words, seat_of

TURNING = (
    PlaceKind.CENTRE, PlaceKind.THIRD, PlaceKind.FOURTH, PlaceKind.ESCAPE, PlaceKind.TRAIN,
    PlaceKind.PALLETS, PlaceKind.BALANCE, PlaceKind.CHRONOGRAPH,
)  # fmt: skip
"""Places whose hole lies in plate, bridge or cock and takes a new jewel or bush."""


def new_part_sentence(judged: PlaceJudged, tools: WorkshopTools | None = None) -> str:
    """Return what would make a worn bearing sound; empty where that cannot be told.

    Of a jewelled hole only the hole of the new jewel is told: its outside is that of the seat.
    Nothing is told before hole and pivot were both measured.
    """
    sizes = judged.sizes
    fits = judged.place.kind in TURNING and judged.stage is PlaceStage.WORN
    if not fits or not sizes.both_measured:
        return ""
    seat = seat_for(judged, tools or WorkshopTools())
    if judged.place.jewelled:
        hole = hole_for(seat, stocked_step(seat))
        return (
            f"A new jewel here has a hole of {hole:g} mm and the outside of the old one, which is "
            "measured once it is out."
        )
    jewel = takes_ring(sizes.as_measured(), LEAST_JEWEL_RING_MM)
    try:
        fit = choose_part(
            seat, parts_in(tools or WorkshopTools()), material=RUBY if jewel else BRONZE
        )
    except NotEnough as fault:
        return fault.sentence
    told = f"What would serve here: a {fit_words(fit)}"
    if told_thickness(judged):
        return told
    return (
        f"{told} Plate or bridge was not measured here and is taken as {GUESSED_THICKNESS_MM:g} mm "
        "thick."
    )


def seat_for(judged: PlaceJudged, tools: WorkshopTools) -> Seat:
    """Return what the new part must serve."""
    sizes = judged.sizes
    return seat_of(
        sizes.as_measured(),
        sizes.lines,
        plate_mm=told_thickness(judged) or GUESSED_THICKNESS_MM,
        tools=tools,
    )


def told_thickness(judged: PlaceJudged) -> float | None:
    """Return how thick plate or bridge is at the hole: measured, or by the sheet."""
    lines = judged.place.lines
    told = judged.sizes.lines.thickness_mm or (lines.thickness_mm if lines else None)
    return told.value if told else None
