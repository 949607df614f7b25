"""`sideshake look wheel`: how many teeth a wheel has, and which are missing or harmed."""

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, Literal

from sideshake.command.options import Json
from sideshake.command.pixel_scale import AskedScale, CardLies, Place, Points, mm_per_px
from sideshake.command.say import CommandAnswer, Grid, save_picture, say
from sideshake.core.errors import InputError, NotEnough
from sideshake.photo.light import photograph
from sideshake.photo.part_scale import wheel_scale
from sideshake.photo.scale import NEAR_MM
from sideshake.photo.tooth import ToothState
from sideshake.photo.wheel import CountedWheel
from sideshake.photo.wheel_in import wheel_in
from sideshake.photo.wheel_words import OUTLINE_ONLY, tooth_word, wheel_sentences

NUMBERED = (
    "Teeth are numbered clockwise as seen in the photograph; 1 is the tooth that was pressed."
)
FROM_TOP = (
    "Teeth are numbered clockwise as seen in the photograph; 1 is the one nearest to 12 o'clock."
)
HALF = "If every second tooth were gone, the wheel would look the same; --expect tells which it is."


def wheel(
    photo: Path,
    *,
    at: Place,
    expect: int | None = None,
    teeth: Literal["outside", "inside"] = "outside",
    first: Place | None = None,
    lines: tuple[str, str] | None = None,
    above_mm: str | None = None,
    distance_mm: float = NEAR_MM,
    um_a_pixel: str | None = None,
    points: Points | None = None,
    length_mm: str | None = None,
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Count the teeth of a wheel in a photograph; say which are missing, broken, worn or bent.

    Parameters
    ----------
    photo
        The photograph, best lit from behind or on plain ground, all of the wheel in it.
    at
        A place near the wheel's middle, in hundredths of the picture's width and height from its
        upper left.
    expect
        How many teeth the calibre sheet gives it.
    teeth
        Where the teeth are: outside, or inside as on a date ring.
    first
        A place on the tooth that is to be number 1; the one nearest to 12 o'clock if left out.
    lines
        The card's two 100 mm lines as measured by calliper: across, along.
    above_mm
        How much higher than the teeth the card lies; 0 ± 0.1 if left out.
    distance_mm
        From the lens to the wheel, at least.
    um_a_pixel
        The scale, such as 12.10+-0.05; `sideshake look hole` tells it of a photograph with a card.
    points
        Two places on a rule, as for --at: x y x y.
    length_mm
        How far apart they are.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the photograph of the wheel with its teeth numbered (SVG).
    """
    if expect is not None and expect < 2:
        raise InputError(f"--expect is a number of teeth, 2 or more, got {expect}")
    taken = photograph(photo)
    place = taken.at(*at)
    asked = AskedScale(
        lines=lines,
        card=CardLies(above_mm=above_mm, distance_mm=distance_mm),
        um_a_pixel=um_a_pixel,
        points=points,
        length_mm=length_mm,
    ).scale(taken)
    mark = None if first is None else taken.at(*first)
    try:
        found = wheel_in(taken, place, inside=teeth == "inside", first=mark)
        found = replace(found, mm_per_px=mm_per_px(asked, partial(wheel_scale, taken, found)))
    except NotEnough as why:
        raise NotEnough(f"{photo}: {why}") from None
    drawn: list[str] = []
    if pictures:
        from sideshake.drawings.wheel_seen import teeth_picture

        drawn.append(save_picture(pictures, "wheel-teeth.svg", teeth_picture(taken, found)))
    say(answer(found, expect, NUMBERED if first else FROM_TOP), as_json=as_json, drawn=drawn)


def answer(found: CountedWheel, expect: int | None, numbering: str) -> CommandAnswer:
    """Return the whole answer: sentences, the teeth that are not whole, the facts."""
    return CommandAnswer(
        schema="look-wheel",
        sentences=wheel_sentences(found, expect),
        grids=[*harmed_grid(found), facts_grid(found)],
        notes=[numbering, OUTLINE_ONLY, *([HALF] if found.wide_gaps and expect is None else [])],
        figures=figures(found, expect),
    )


def harmed_grid(found: CountedWheel) -> list[Grid]:
    """Return a table of the teeth that are not whole, if there are any."""
    rows = [
        [
            str(tooth.number),
            tooth_word(tooth),
            f"{100 * tooth.area:.0f}",
            "" if tooth.state is ToothState.MISSING else f"{100 * tooth.aside:+.0f}",
            f"{tooth.angle_deg:.0f}",
        ]
        for tooth in found.each
        if tooth.state is not ToothState.WHOLE or tooth.dirty
    ]
    if not rows:
        return []
    return [
        Grid(
            title="Teeth that are not like the others",
            columns=["tooth", "is", "area left (%)", "aside (% of pitch)", "at (°)"],
            rows=rows,
            numbers=(0, 2, 3, 4),
        )
    ]


def facts_grid(found: CountedWheel) -> Grid:
    """Return how well the photograph shows the wheel."""
    row = [
        f"{found.probability:.4f}",
        f"{found.tip_px.value:.0f}",
        f"{found.blur_px:.1f}",
        f"{found.tilt_deg:.0f}",
    ]
    return Grid(
        title="The photograph",
        columns=["turn closes with this number", "across (px)", "blur (px)", "tilt (°)"],
        rows=[row],
        numbers=range(4),
    )


def figures(found: CountedWheel, expect: int | None) -> dict[str, Any]:
    """Return the figures for other programs."""
    return {
        "teeth": found.teeth,
        "probability": found.probability,
        "expected": expect,
        "as_expected": None if expect is None else found.teeth == expect,
        **{state.value: found.those(state) for state in ToothState if state != "whole"},
        "tip_mm": found.tip_mm,
        "tip_px": found.tip_px,
        "middle_px": (found.oval.x, found.oval.y),
        "tilt_deg": found.tilt_deg,
        "blur_px": found.blur_px,
        "each": found.each,
    }
