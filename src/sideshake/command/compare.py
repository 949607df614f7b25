"""`sideshake compare`: what has changed from one recording of a watch to another."""

from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from sideshake.command.options import Flag, Json
from sideshake.core.errors import InputError
from sideshake.sample_clock.kept import USUAL_RECORDER, clock_for

Recording = Annotated[str, Parameter(allow_leading_hyphen=True)]


def compare(
    before: Recording,
    after: Recording,
    /,
    *,
    lift_angle: str | None = None,
    beats_per_hour: float | None = None,
    calibre: str | None = None,
    escape_teeth: int | None = None,
    recorder: str = USUAL_RECORDER,
    position: Literal["CH", "FH", "3H", "6H", "9H", "12H"] | None = None,
    wound: Literal["full", "24h"] | None = None,
    picture: Path | None = None,
    watch: Flag = False,
    as_json: Json = False,
) -> None:
    """Compare two recordings of a watch: amplitude, rate and beat error, before and after.

    Parameters
    ----------
    before, after
        Recordings by the same recorder (WAV, FLAC, OGG, MP3).
    lift_angle
        The calibre's lift angle in degrees, such as 52 or 51+-2 (the 95 % interval).
    beats_per_hour
        Beats an hour the watch should have; found out if left out.
    calibre
        A calibre sheet (a file, or one that comes with the program) to take both from, and the
        teeth of the escape wheel.
    escape_teeth
        Teeth of the escape wheel: its turn is drawn before and after, on one scale.
    recorder
        The recorder whose clock was checked with `sideshake clock`.
    position
        How the watch lay both times, by ISO 3158.
    wound
        How far it was wound both times.
    picture
        Draw before and after into this SVG file, and one turn of the escape wheel each into a
        second one, named NAME-rings.svg, where its teeth are known.
    watch
        Read both as a watch although one does not sound like one.
    as_json
        Write JSON instead of words.
    """
    from sideshake.command.comparing import answer, read_one, save
    from sideshake.command.listen import refuse_options
    from sideshake.command.say import say
    from sideshake.command.told import told_of_watch
    from sideshake.timing.compare.compared import compare as compared_with
    from sideshake.timing.compare.conditions import Conditions
    from sideshake.timing.compare.reading_figures import figures_of
    from sideshake.timing.positions.summary import Position

    refuse_options([before, after])
    if picture is not None and picture.suffix.lower() != ".svg":
        raise InputError(f"--picture writes an SVG file: {picture} must end in .svg")
    known = told_of_watch(
        calibre,
        lift_angle=lift_angle,
        beats_per_hour=beats_per_hour,
        escape_teeth=escape_teeth,
        watch=watch,
    )
    clock = clock_for(recorder)
    how = Conditions(position=Position(position) if position else None, wound=wound or "")
    readings = [read_one(name, known, clock=clock) for name in (before, after)]
    both = [figures_of(reading, how, recorder=recorder) for reading in readings]
    compared = compared_with(both[:1], both[1:])
    drawn = save(picture, compared, readings, known.escape_teeth) if picture is not None else []
    say(answer(compared, drawn), as_json=as_json, drawn=drawn)
