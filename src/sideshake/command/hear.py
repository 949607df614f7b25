"""`sideshake hear`: how a watch runs, from recordings of its ticking."""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from sideshake.command.clocks import USUAL_RECORDER, clock_for
from sideshake.command.listen import hear_file
from sideshake.command.say import Answer, Grid, save_picture, say
from sideshake.errors import InputError, NotEnough
from sideshake.quantities import Measured
from sideshake.sound.clock import SampleClock
from sideshake.timing.doubts import doubts
from sideshake.timing.reading import Reading, read
from sideshake.timing.sentence import meaning, sentence

Json = Annotated[bool, Parameter(name="--json", negative="")]


def hear(
    files: list[str],
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
    if beats is not None and len(files) > 1:
        raise InputError(f"--beats writes one recording's beats, but {len(files)} were given")
    lift, told = from_sheet(calibre)
    lift = parse_lift(lift_angle) if lift_angle is not None else lift
    told = beats_per_hour if beats_per_hour is not None else told
    clock = clock_for(recorder)
    readings: dict[str, Reading] = {}
    failures: dict[str, InputError | NotEnough] = {}
    for name in files:
        try:
            readings[name] = read(
                hear_file(name, told), lift_angle_deg=lift, beats_per_hour=told, clock=clock
            )
        except (InputError, NotEnough) as fault:
            failures[name] = fault
            sys.stderr.write(f"sideshake: {said_of(name, fault)}\n")
    written = save_all(readings, beats, pictures)
    if readings:
        say(answer(readings, failures, written), as_json=as_json)
    if failures:
        raise SystemExit(max(EXITS[type(fault)] for fault in failures.values()))


EXITS = {InputError: 2, NotEnough: 3}


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
        lift = Measured.parse(written)
    except InputError as fault:
        raise InputError(f"--lift-angle: {fault}") from None
    require_lift_angle(lift.value)
    return lift


def said_of(name: str, fault: InputError | NotEnough) -> str:
    """Return one line about a recording that gave no reading."""
    reason = str(fault)
    if isinstance(fault, NotEnough):
        reason = f"no reading, {reason}"
    return reason if reason.startswith(f"{name}:") else f"{name}: {reason}"


def answer(
    readings: dict[str, Reading], failures: dict[str, InputError | NotEnough], written: list[str]
) -> Answer:
    """Return what to say of one or several readings."""
    from sideshake.command.figures import reading_figures

    several = len(readings) + len(failures) > 1
    sentences, grids, notes = [], [], []
    if several:
        rows = [row(name, reading) for name, reading in readings.items()]
        rows += [(name, "no reading", "", "", "") for name in failures]
        sentences.append(f"{len(readings)} of {len(rows)} recordings gave a reading.")
        grids.append(Grid(title="", columns=COLUMNS, rows=rows, numbers=(1, 2, 3)))
    for name, reading in readings.items():
        head = f"{name}: " if several else ""
        if not several:
            sentences += [sentence(reading), *meaning(reading)]
            grids.append(details(reading))
        notes += [f"{head}{doubt.text}" for doubt in doubts(reading)]
    if written:
        notes.append("Written: " + ", ".join(written))
    return Answer(
        schema="reading",
        sentences=sentences,
        grids=grids,
        notes=notes,
        figures={
            "readings": [reading_figures(name, each) for name, each in readings.items()],
            "failures": [
                {"file": name, "reason": str(fault), "kind": type(fault).__name__}
                for name, fault in failures.items()
            ],
            "written": written,
        },
    )


COLUMNS = ("recording", "rate, s a day", "amplitude, °", "beat error, ms", "beats")


def row(name: str, reading: Reading) -> Sequence[str]:
    """Return one recording as a row of the table."""
    beats = reading.heard.beats
    return (
        Path(name).name,
        text_of(reading.rate_s_per_day, sign=True),
        text_of(reading.amplitude_deg),
        text_of(reading.beat_error_ms),
        f"{beats.count} of {beats.count + beats.missing}",
    )


def text_of(value: Measured | None, *, sign: bool = False) -> str:
    """Return a value as text, a dash where there is none."""
    return "–" if value is None else value.text(sign=sign)


def details(reading: Reading) -> Grid:
    """Return the small table below one reading's sentence."""
    heard, clock = reading.heard, reading.clock
    beats = heard.beats
    nominal, total = reading.beats_per_hour, beats.count + beats.missing
    own = text_of(reading.rate_alone_s_per_day, sign=True)
    rows = [
        ("beats an hour", "not one of the usual" if nominal is None else f"{nominal:.0f}"),
        ("rate by the recorder's own clock", f"{own} s a day"),
        ("clock of the recorder", say_clock(clock)),
        ("lift angle", f"{reading.lift_angle_deg.text()}°"),
        ("scatter of the beats", f"{reading.scatter_ms:.3f} ms"),
        ("tick above the room", f"{reading.clearness_db:.0f} dB"),
        ("heard", f"{beats.count} of {total} beats in {heard.duration_s:.0f} s"),
    ]
    return Grid(
        title="", columns=("95 % intervals; beat error is half the difference", ""), rows=rows
    )


def say_clock(clock: SampleClock) -> str:
    """Return what is known of the recorder's clock."""
    if not clock.checked:
        return "not checked (within 50 ppm)"
    return f"{clock.fast_ppm.text(sign=True)} ppm, checked {clock.date}"


def save_all(readings: dict[str, Reading], beats: Path | None, pictures: Path | None) -> list[str]:
    """Write beats and pictures where they are wanted; return the files written."""
    written = []
    for name, reading in readings.items():
        if beats is not None:
            from sideshake.command.figures import beats_csv

            written.append(save_picture(beats.parent, beats.name, beats_csv(reading)))
        if pictures is not None:
            written += save_pictures(pictures, name, reading)
    return written


def save_pictures(folder: Path, name: str, reading: Reading) -> list[str]:
    """Write lateness and portrait as SVG and both as an interactive page; return the files."""
    from sideshake.pictures.lateness import lateness_chart
    from sideshake.pictures.page import html_page, svg_text
    from sideshake.pictures.sound_portrait import portrait_chart

    stem = Path(name).stem if name != "-" else "standard-input"
    charts = {"lateness": lateness_chart(reading), "portrait": portrait_chart(reading)}
    files = [
        save_picture(folder, f"{stem}-{what}.svg", svg_text(chart))
        for what, chart in charts.items()
    ]
    notes = [*meaning(reading), *(doubt.text for doubt in doubts(reading))]
    page = html_page(stem, sentence(reading), notes, list(charts.values()))
    return [*files, save_picture(folder, f"{stem}.html", page)]
