"""`sideshake bearing`: how far the bearings of a movement are worn, and what to do."""

from collections.abc import Mapping
from typing import Any

from sideshake.analysis.bearings import (
    BearingTold,
    measured_places,
    tell_bearing,
)
from sideshake.command.measured import toml_at
from sideshake.command.options import Json
from sideshake.command.say import CommandAnswer, Grid, say
from sideshake.core.errors import InputError
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_at
from sideshake.wear.place_file import PlacesWritten, places_written, require_known
from sideshake.wear.place_judged import (
    MovementJudged,
    PlaceJudged,
    PlaceStage,
    movement_judged,
)
from sideshake.wear.place_words import head
from sideshake.wear.rubbing import chance_short


def bearing(
    sheet: str | None = None,
    *,
    measured: str | None = None,
    place: str | None = None,
    hole_mm: str | None = None,
    hole_long_mm: str | None = None,
    hole_short_mm: str | None = None,
    pivot_mm: str | None = None,
    play_mm: str | None = None,
    endshake_mm: str | None = None,
    as_json: Json = False,
) -> None:
    """Tell how far bearings are worn, how sure that is, and what one more measurement would tell.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as tarnbrook-31).
        Without one, what is usual is expected.
    measured
        A file with a table for each bearing, or the name of the shipped one: worn-train.
    place
        Which bearing the options below are of: third.above, balance.below, rotor.
    hole_mm
        The hole, with its 95 % interval: 0.231+-0.006; or several readings of it.
    hole_long_mm
        An oval hole, the long way.
    hole_short_mm
        An oval hole, the short way.
    pivot_mm
        The pivot in it.
    play_mm
        The side play read by itself, from touching one side to touching the other.
    endshake_mm
        The endshake of the arbor.
    as_json
        Write JSON instead of words.
    """
    options = {
        "hole_mm": hole_mm,
        "hole_long_mm": hole_long_mm,
        "hole_short_mm": hole_short_mm,
        "pivot_mm": pivot_mm,
        "play_mm": play_mm,
        "endshake_mm": endshake_mm,
    }
    tree = toml_at(measured, "sideshake.wear") if measured else {}
    written = places_written(with_options(tree, place, options))
    if not written.lines:
        raise InputError("nothing is measured: give --measured, or --place and its sizes")
    calibre = calibre_of(sheet, written)
    require_known(calibre, written)
    judged = movement_judged(calibre, written.lines, u_mm=written.u_mm)
    say(answer(calibre, judged), as_json=as_json)


def with_options(
    tree: Mapping[str, Any], place: str | None, options: Mapping[str, str | None]
) -> dict[str, Any]:
    """Return the file's tree with the sizes of one place laid over it.

    Raises
    ------
    InputError : sizes are given, but not of which bearing
    """
    given = {name: text for name, text in options.items() if text is not None}
    if place is None:
        if given:
            first = next(iter(given)).replace("_", "-")
            raise InputError(f"--{first}: of which bearing? give --place, such as third.above")
        return dict(tree)
    arbor, _dot, side = place.partition(".")
    made = dict(tree)
    table = dict(made.get(arbor, {}))
    if side:
        table[side] = {**table.get(side, {}), **given}
    else:
        table |= given
    made[arbor] = table
    return made


def calibre_of(sheet: str | None, written: PlacesWritten) -> CalibreSheet | None:
    """Return the calibre named on the command line, else in the file; None where neither does.

    Raises
    ------
    InputError : they name two different ones
    """
    if sheet and written.calibre and sheet != written.calibre:
        raise InputError(
            f"the measurements are of {written.calibre}, not of {sheet}: leave one of them out"
        )
    named = sheet or written.calibre
    return sheet_at(named) if named else None


def answer(calibre: CalibreSheet | None, judged: MovementJudged) -> CommandAnswer:
    """Return every bearing that something was measured of, in the order of the movement."""
    seen = measured_places(judged)
    told = [tell_bearing(each, judged) for each in seen]
    return CommandAnswer(
        schema="bearing",
        sentences=[each.verdict for each in told],
        grids=[grid(seen)],
        notes=[*notes(seen, told), usual_note(calibre)],
        figures={
            "calibre": calibre.name if calibre else None,
            "bearings": {each.place.name: figures(each) for each in seen},
            "leans": {
                each.arbor: {"angle_deg": each.lean.angle_deg, "rim_move_mm": each.lean.rim_move_mm}
                if each.rim_known
                else {"angle_deg": each.lean.angle_deg}
                for each in judged.leans
            },
        },
    )


def grid(seen: list[PlaceJudged]) -> Grid:
    """Return the bearings as a table."""
    return Grid(
        title="Bearings (mm)",
        columns=("bearing", "play", "normal", "worn", "oval by", "verdict"),
        rows=[
            (
                each.place.words,
                each.play.text() if each.play else "",
                f"{each.normal.low_mm:.3f} to {each.normal.high_mm:.3f}",
                "" if each.stage is PlaceStage.MEASURE else chance_short(each.danger),
                each.oval.text() if each.oval and each.is_oval else "",
                str(each.stage),
            )
            for each in seen
        ],
        numbers=(1, 3, 4),
    )


def notes(seen: list[PlaceJudged], told: list[BearingTold]) -> list[str]:
    """Return what else is told of each bearing, and what is not; a lean once for its arbor."""
    said = list(dict.fromkeys(lean for each in told for lean in each.leans))
    for judged, each in zip(seen, told, strict=True):
        name = head(judged.place.words)
        said += [f"{name}: {words}" for words in (*each.details, each.part) if words]
        if judged.stage is not PlaceStage.MEASURE:
            said.append(f"{name}: {each.next}")
        said += [f"{name}, not told. {words}" for words in each.not_told]
    return said


def usual_note(calibre: CalibreSheet | None) -> str:
    """Return where what is normal comes from."""
    sheet = f"from the sheet of {calibre.name}, where it has no line " if calibre else ""
    return (
        f"What is normal is {sheet}from the trade's table by pivot size (from memory, no "
        "printed source); worn is beyond twice that (common practice, no source). ± is the 95 % "
        "interval."
    )


def figures(each: PlaceJudged) -> dict[str, Any]:
    """Return a bearing for another program."""
    return {
        "verdict": str(each.stage),
        "play_mm": each.play,
        "play_from_to_mm": each.play_mm,
        "normal_mm": [each.normal.low_mm, each.normal.high_mm],
        "limit_mm": each.limit_mm,
        "worn_probability": each.beyond,
        "oval_mm": each.oval,
        "oval_probability": each.oval_chance,
        "endshake_mm": each.sizes.endshake_mm,
        "rotor_rubs_probability": {one.towards: one.rub_probability for one in each.rotor},
    }
