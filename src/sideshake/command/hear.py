"""`sideshake hear`: how a watch runs, from recordings of its ticking or live."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from sideshake.command.options import Flag, Json
from sideshake.command.say import say
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.sample_clock.kept import USUAL_RECORDER, clock_for

if TYPE_CHECKING:
    from sideshake.command.hearing import HearingOutcome
    from sideshake.movement.escapement import EscapementLimits
    from sideshake.timing.nominal import Nominal

Files = Annotated[tuple[str, ...], Parameter(allow_leading_hyphen=True)]
MOST_SWINGS_DEG = (60.0, 360.0)


def hear(
    files: Files = (),
    /,
    *,
    lift_angle: str | None = None,
    beats_per_hour: float | None = None,
    calibre: str | None = None,
    escape_teeth: int | None = None,
    recorder: str = USUAL_RECORDER,
    beats: Path | None = None,
    pictures: Path | None = None,
    live: Flag = False,
    device: str | None = None,
    devices: Flag = False,
    seconds: float | None = None,
    keep: Path | None = None,
    watch: Flag = False,
    swings: str | None = None,
    as_json: Json = False,
) -> None:
    """Read rate, amplitude and beat error, each with its 95 % interval, from recordings or live.

    Parameters
    ----------
    files
        Recordings (WAV, FLAC, OGG, MP3); "-" is standard input.
    lift_angle
        The calibre's lift angle in degrees, such as 52 or 51+-2 (the 95 % interval).
    beats_per_hour
        Beats an hour the watch should have; found out if left out.
    calibre
        A calibre sheet (a file, or one that comes with the program) to take both from, and the
        teeth of the escape wheel.
    escape_teeth
        Teeth of the escape wheel: lateness is folded round its turn. Without them it is drawn along
        time.
    recorder
        The recorder whose clock was checked with `sideshake clock`.
    beats
        Write every beat to this CSV file (one recording only).
    pictures
        Write the pictures of lateness, amplitude and portrait into this folder, as SVG and as a
        page.
    live
        Listen to the microphone instead of recordings, until Ctrl-C, and show twice a second how
        sure the figures are.
    device
        The microphone to listen to, by its number or a part of its name.
    devices
        List the microphones and end.
    seconds
        Listen live no longer than this.
    keep
        Keep what is heard live in this new WAV file.
    watch
        Read it as a watch although it does not sound like one.
    swings
        About how many degrees it swings, from another position or an earlier reading, such as 280
        or 280+-10. It decides only where the sound leaves more than one amplitude open.
    as_json
        Write JSON instead of words.
    """
    if devices:
        from sideshake.command.live import device_list

        say(device_list(), as_json=as_json)
        return
    require_sound(files, live=live, only_live={"device": device, "seconds": seconds, "keep": keep})
    require_beats_file(beats, len(files))
    lift, told = from_sheet(calibre)
    lift = parse_lift(lift_angle) if lift_angle is not None else lift
    told = parse_beats(beats_per_hour) if beats_per_hour is not None else told
    teeth = escape_wheel(calibre) if escape_teeth is None else parse_teeth(escape_teeth)
    expected = None if swings is None else parse_swings(swings)
    if live:
        from sideshake.command.live import LiveAsked, read_live

        asked = LiveAsked(
            lift_angle_deg=lift, beats_per_hour=told, clock=clock_for(recorder),
            seconds=seconds, keep=keep, said_watch=watch, expected_deg=expected,
            escapement=escapement_of(calibre),
        )  # fmt: skip
        outcome = read_live(device, asked)
    else:
        from sideshake.command.hearing import WatchSaid, read_all

        said = WatchSaid(watch=watch, swings_deg=expected, escapement=escapement_of(calibre))
        outcome = read_all(files, lift, told, clock=clock_for(recorder), said=said)
    tell(replace(outcome, escape_teeth=teeth), beats, pictures, as_json=as_json)


def tell(
    outcome: "HearingOutcome", beats: Path | None, pictures: Path | None, *, as_json: bool
) -> None:
    """Save what is wanted of the readings, say them, and end with the exit code of the failures."""
    from sideshake.command.hearing import answer, exit_code, save_all

    saved = save_all(outcome, beats, pictures)
    saved.files.extend(outcome.written)
    saved.notes.extend(outcome.notes)
    if outcome.readings or as_json:
        say(answer(outcome, saved), as_json=as_json)
    if saved.fault is not None:
        raise saved.fault
    if outcome.failures:
        raise SystemExit(exit_code(outcome.failures))


def require_sound(files: Sequence[str], *, live: bool, only_live: Mapping[str, object]) -> None:
    """Raise InputError unless there is either a recording or `--live`, with the options for it."""
    from sideshake.command.listen import refuse_options

    refuse_options(files)
    if live and files:
        raise InputError(f"--live listens to the microphone: {files[0]} cannot be heard with it")
    if not live and not files:
        raise InputError("give a recording of the watch, or --live to listen to the microphone")
    given = [f"--{name}" for name, value in only_live.items() if value is not None]
    if given and not live:
        raise InputError(f"{given[0]} is for listening live: add --live")


def require_beats_file(beats: Path | None, recordings: int) -> None:
    """Raise InputError unless the beats go from one recording to a file that is no recording."""
    if beats is None:
        return
    if recordings > 1:
        raise InputError(f"--beats writes one recording's beats, but {recordings} were given")
    if beats.suffix.lower() != ".csv":
        raise InputError(f"--beats writes a CSV file: {beats} must end in .csv")


def from_sheet(calibre: str | None) -> tuple[Measured | None, "Nominal | None"]:
    """Return lift angle and beats per hour as far as the calibre sheet has them."""
    if calibre is None:
        return None, None
    from sideshake.movement.sheet_file import sheet_at
    from sideshake.timing.nominal import BeatSource, Nominal

    sheet = sheet_at(calibre)
    if sheet.beats_per_hour is None:
        return sheet.lift_angle_deg, None
    told = Nominal(per_hour=float(sheet.beats_per_hour), source=BeatSource.CALIBRE)
    return sheet.lift_angle_deg, told


def escapement_of(calibre: str | None) -> "EscapementLimits":
    """Return what is usual of the calibre's escapement; a lever's where nothing is known."""
    from sideshake.movement.escapement import limits_of
    from sideshake.movement.sheet_file import sheet_at

    return limits_of(sheet_at(calibre) if calibre is not None else None)


def escape_wheel(calibre: str | None) -> int | None:
    """Return the teeth of the escape wheel, if the calibre sheet tells them."""
    if calibre is None:
        return None
    from sideshake.movement.sheet_file import sheet_at
    from sideshake.movement.train import escape_teeth

    return escape_teeth(sheet_at(calibre))


def parse_teeth(escape_teeth: int) -> int:
    """Return the teeth given on the command line."""
    from sideshake.timing.turn.fold import require_teeth

    require_teeth(escape_teeth)
    return escape_teeth


def parse_lift(written: str) -> Measured:
    """Return the lift angle written on the command line."""
    from sideshake.timing.amplitude import require_lift_angle

    try:
        lift = Measured.parse(written, "°")
    except InputError:
        raise InputError(
            f"--lift-angle {written} cannot be read: write degrees, such as 52 or 52+-1"
        ) from None
    require_lift_angle(lift.value)
    return lift


def parse_swings(written: str) -> Measured:
    """Return the amplitude written on the command line."""
    try:
        swing = Measured.parse(written, "°")
    except InputError:
        raise InputError(
            f"--swings {written} cannot be read: write degrees, such as 280 or 280+-10"
        ) from None
    if not MOST_SWINGS_DEG[0] <= swing.value <= MOST_SWINGS_DEG[1]:
        raise InputError(f"--swings {written}: 60 to 360 degrees are possible")
    return swing


def parse_beats(per_hour: float) -> "Nominal":
    """Return the beats an hour given on the command line."""
    from sideshake.sound.listener import TOLD_PER_HOUR, require_within
    from sideshake.timing.nominal import Nominal

    require_within("--beats-per-hour", per_hour, TOLD_PER_HOUR, "an hour")
    return Nominal(per_hour=per_hour)
