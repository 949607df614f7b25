"""`sideshake look pivot`: how thick, straight and tapered a pivot is in silhouette."""

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from sideshake.command.options import Json
from sideshake.command.pixel_scale import AskedScale, CardLies, Place, Points, mm_per_px
from sideshake.command.say import CommandAnswer, Grid, save_picture, say
from sideshake.core.errors import NotEnough
from sideshake.photo.light import photograph
from sideshake.photo.part_scale import pivot_scale
from sideshake.photo.pivot import Pivot
from sideshake.photo.scale import NEAR_MM
from sideshake.photo.wheel_in import pivot_in
from sideshake.photo.wheel_words import pivot_notes, pivot_sentences


def pivot(
    photo: Path,
    *,
    at: Place,
    lines: tuple[str, str] | None = None,
    above_mm: str | None = None,
    distance_mm: float = NEAR_MM,
    um_a_pixel: str | None = None,
    points: Points | None = None,
    length_mm: str | None = None,
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Measure a pivot in silhouette: thickness, straightness, taper, each with its 95 % interval.

    Parameters
    ----------
    photo
        The photograph, the pivot across a plain bright (or dark) ground.
    at
        A place on the pivot, in hundredths of the picture's width and height from its upper left.
    lines
        The card's two 100 mm lines as measured by calliper: across, along.
    above_mm
        How much higher than the pivot the card lies; 0 ± 0.1 if left out.
    distance_mm
        From the lens to the pivot, at least.
    um_a_pixel
        The scale, such as 4.02+-0.02; `sideshake look hole` tells it of a photograph with a card.
    points
        Two places on a rule, as for --at: x y x y.
    length_mm
        How far apart they are.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the photograph of the pivot with the measured edges (SVG).
    """
    taken = photograph(photo)
    place = taken.at(*at)
    asked = AskedScale(
        lines=lines,
        card=CardLies(above_mm=above_mm, distance_mm=distance_mm),
        um_a_pixel=um_a_pixel,
        points=points,
        length_mm=length_mm,
    ).scale(taken)
    try:
        found = pivot_in(taken, place)
        found = replace(found, mm_per_px=mm_per_px(asked, partial(pivot_scale, taken, found)))
    except NotEnough as why:
        raise NotEnough(f"{photo}: {why}") from None
    drawn: list[str] = []
    if pictures:
        from sideshake.drawings.wheel_seen import pivot_picture

        drawn.append(save_picture(pictures, "pivot-edges.svg", pivot_picture(taken, found)))
    say(answer(found), as_json=as_json, drawn=drawn)


def answer(found: Pivot) -> CommandAnswer:
    """Return the whole answer."""
    return CommandAnswer(
        schema="look-pivot",
        sentences=pivot_sentences(found),
        grids=[facts_grid(found)],
        notes=pivot_notes(found),
        figures=figures(found),
    )


def facts_grid(found: Pivot) -> Grid:
    """Return how well the photograph shows the pivot."""
    row = [
        f"{found.diameter_px.value:.1f}",
        f"{found.length_px:.0f}",
        f"{found.blur_px:.1f}",
        f"{found.axis_deg:.0f}",
    ]
    return Grid(
        title="The photograph",
        columns=["thick (px)", "length measured (px)", "blur (px)", "lies at (°)"],
        rows=[row],
        numbers=range(4),
    )


def figures(found: Pivot) -> dict[str, Any]:
    """Return the figures for other programs."""
    return {
        "diameter_mm": found.diameter_mm,
        "diameter_px": found.diameter_px,
        "taper": found.taper,
        "bow_px": found.bow_px,
        "bent": found.bent,
        "rough_px": found.rough_px,
        "grooved": found.grooved,
        "length_px": found.length_px,
        "axis_deg": found.axis_deg,
        "middle_px": found.middle,
        "blur_px": found.blur_px,
        "burnt": found.burnt,
    }
