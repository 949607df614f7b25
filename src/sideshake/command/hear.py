"""`sideshake hear`: how a watch runs, from recordings of its ticking."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from sideshake.clocks import USUAL_RECORDER, clock_for
from sideshake.command.options import Json
from sideshake.command.say import say
from sideshake.errors import InputError
from sideshake.quantities import Measured

Files = Annotated[list[str], Parameter(allow_leading_hyphen=True)]


def hear(
    files: Files,
    /,
    *,
    lift_angle: str | None = None,
    beats_per_hour: float | None = None,
    calibre: str | None = None,
    recorder: str = USUAL_RECORDER,
    beats: Path | None = None,
    pictures: Path | None = None,
    as_json: Json = False,
) -> None:
    """Read rate, amplitude and beat error from recordings, each with its 95 % interval.

    Parameters
    ----------
    files
        Recordings (WAV, FLAC, OGG, MP3); "-" is standard input.
    lift_angle
        The calibre's lift angle in degrees, such as 52 or 51+-1 (one standard uncertainty).
    beats_per_hour
        Beats an hour the watch should have; found out if left out.
    calibre
        A calibre sheet (a file, or one that comes with the program) to take both from.
    recorder
        The recorder whose clock was checked with `sideshake clock`.
    beats
        Write every beat to this CSV file (one recording only).
    pictures
        Write the pictures of lateness and portrait into this folder, as SVG and as a page.
    as_json
        Write JSON instead of words.
    """
    from sideshake.command.hearing import answer, exit_code, read_all, save_all
    from sideshake.command.listen import refuse_options

    refuse_options(files)
    require_beats_file(beats, len(files))
    lift, told = from_sheet(calibre)
    lift = parse_lift(lift_angle) if lift_angle is not None else lift
    told = parse_beats(beats_per_hour) if beats_per_hour is not None else told
    readings, failures = read_all(files, lift, told, clock=clock_for(recorder))
    saved = save_all(readings, beats, pictures)
    if readings or as_json:
        say(answer(readings, failures, saved), as_json=as_json)
    if saved.fault is not None:
        raise saved.fault
    if failures:
        raise SystemExit(exit_code(failures))


def require_beats_file(beats: Path | None, recordings: int) -> None:
    """Raise InputError unless the beats go from one recording to a file that is no recording."""
    if beats is None:
        return
    if recordings > 1:
        raise InputError(f"--beats writes one recording's beats, but {recordings} were given")
    if beats.suffix.lower() != ".csv":
        raise InputError(f"--beats writes a CSV file: {beats} must end in .csv")


def from_sheet(calibre: str | None) -> tuple[Measured | None, float | None]:
    """Return lift angle and beats per hour as far as the calibre sheet has them."""
    if calibre is None:
        return None, None
    from sideshake.movement.sheet_file import sheet_at

    sheet = sheet_at(calibre)
    per_hour = sheet.beats_per_hour
    return sheet.lift_angle_deg, None if per_hour is None else float(per_hour)


def parse_lift(written: str) -> Measured:
    """Return the lift angle written on the command line."""
    from sideshake.timing.amplitude import require_lift_angle

    try:
        lift = Measured.parse(written.strip().removesuffix("°"))
    except InputError:
        raise InputError(
            f"--lift-angle {written} cannot be read: write degrees, such as 52 or 52+-1"
        ) from None
    require_lift_angle(lift.value)
    return lift


def parse_beats(per_hour: float) -> float:
    """Return the beats an hour given on the command line."""
    from sideshake.sound.listener import TOLD_PER_HOUR, require_within

    require_within("--beats-per-hour", per_hour, TOLD_PER_HOUR, "an hour")
    return per_hour
