"""`sideshake hear`: how a watch runs, from recordings of its ticking or live."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from sideshake.command.options import Flag, Json
from sideshake.command.say import say
from sideshake.core.errors import InputError
from sideshake.sample_clock.kept import USUAL_RECORDER, clock_for

if TYPE_CHECKING:
    from sideshake.command.hearing import HearingOutcome

Files = Annotated[tuple[str, ...], Parameter(allow_leading_hyphen=True)]


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
    from sideshake.command.told import told_of_watch

    require_sound(files, live=live, only_live={"device": device, "seconds": seconds, "keep": keep})
    require_beats_file(beats, len(files))
    known = told_of_watch(
        calibre,
        lift_angle=lift_angle,
        beats_per_hour=beats_per_hour,
        escape_teeth=escape_teeth,
        swings=swings,
        watch=watch,
    )
    if live:
        from sideshake.command.live import LiveAsked, read_live

        asked = LiveAsked(known=known, clock=clock_for(recorder), seconds=seconds, keep=keep)
        outcome = read_live(device, asked)
    else:
        from sideshake.command.hearing import read_all

        outcome = read_all(files, known, clock=clock_for(recorder))
    tell(replace(outcome, escape_teeth=known.escape_teeth), beats, pictures, as_json=as_json)


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
