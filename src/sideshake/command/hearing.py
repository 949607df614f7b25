"""Several recordings heard, what is said of them, and what is written of them."""

import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path
from typing import Any

from sideshake.analysis.hearing import KnownForHearing, reading_of, reading_said
from sideshake.command.faults import EXIT_INPUT, EXIT_NOT_ENOUGH
from sideshake.command.figures import beats_csv, measured, reading_figures
from sideshake.command.listen import counted, hear_file
from sideshake.command.say import CommandAnswer, Grid, save_picture
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.clock import UNKNOWN_WITHIN_PPM, SampleClock
from sideshake.sound.recording import STANDARD_INPUT
from sideshake.timing.nominal import BeatSource
from sideshake.timing.quality_flags import quality_flags
from sideshake.timing.reading import Reading
from sideshake.timing.sentence import HOW_TO_READ, meaning, sentence
from sideshake.timing.turn.fold import turn_of
from sideshake.timing.what_beats import NoWatch

Readings = Mapping[str, Reading]
Failures = Mapping[str, InputError | NotEnough]

SAY_WATCH = "If it is one, say so with --watch."
NAMED_MOST = 3
"""Of more recordings that share a doubt only their number is said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HearingOutcome:
    """The readings by name, why others gave none, and what else is to be said or was written.

    `escape_teeth` : teeth of the escape wheel, None where they are not known
    """

    readings: Readings
    failures: Failures
    escape_teeth: int | None = None
    notes: Sequence[str] = ()
    written: Sequence[str] = ()


def read_all(files: Sequence[str], known: KnownForHearing, *, clock: SampleClock) -> HearingOutcome:
    """Return the readings, and why the other recordings gave none; says the latter at once."""
    readings: dict[str, Reading] = {}
    failures: dict[str, InputError | NotEnough] = {}
    for name in counted(files):
        try:
            readings[name] = reading_of(hear_file(name, known.per_hour), known, clock)
        except (InputError, NotEnough) as fault:
            failures[name] = fault
            say_failure(name, fault)
    return HearingOutcome(readings=readings, failures=failures)


def say_failure(name: str, fault: InputError | NotEnough) -> None:
    """Write one line about a recording that gave no reading."""
    sys.stderr.write(f"sideshake: {said_of(name, fault)}\n")


def exit_code(failures: Failures) -> int:
    """Return the exit code: that of a recording without an answer counts more."""
    without = any(isinstance(fault, NotEnough) for fault in failures.values())
    return EXIT_NOT_ENOUGH if without else EXIT_INPUT


def said_of(name: str, fault: InputError | NotEnough) -> str:
    """Return one line about a recording that gave no reading."""
    reason = str(fault)
    if isinstance(fault, NoWatch):
        return f"{name}: {fault.sentence} {SAY_WATCH}"
    if isinstance(fault, NotEnough):
        reason = f"no reading, {reason}"
    return reason if reason.startswith(f"{name}:") else f"{name}: {reason}"


def answer(outcome: HearingOutcome, saved: "Saved") -> CommandAnswer:
    """Return what to say of one or several readings."""
    readings, failures, teeth = outcome.readings, outcome.failures, outcome.escape_teeth
    several = len(readings) + len(failures) > 1
    sentences, grids = [], []
    if several:
        sentences.append(
            f"{len(readings)} of {len(readings) + len(failures)} recordings gave a reading."
        )
        grids.append(table(readings, failures))
    else:
        for reading in readings.values():
            said = reading_said(reading, teeth)
            sentences += [said.sentence, *said.meaning]
            grids.append(details(reading))
    notes = [HOW_TO_READ] if readings else []
    notes += [*said_doubts(readings, named=several), *saved.notes]
    if saved.files:
        notes.append("Written: " + ", ".join(saved.files))
    return CommandAnswer(
        schema="reading",
        heard=True,
        sentences=sentences,
        grids=grids,
        notes=notes,
        figures={
            "readings": [
                reading_figures(name, each, turn_of(each, teeth)) for name, each in readings.items()
            ],
            "failures": [
                {"file": name, "reason": str(fault), "kind": type(fault).__name__} | beat_of(fault)
                for name, fault in failures.items()
            ],
            "written": saved.files,
        },
    )


def beat_of(fault: InputError | NotEnough) -> dict[str, Any]:
    """Return the beat of what is no watch, and the names of what speaks against one."""
    if not isinstance(fault, NoWatch):
        return {}
    return {
        "beats_per_hour": measured(fault.per_hour),
        "against": [trait.value for trait in fault.against],
    }


def said_doubts(readings: Readings, *, named: bool) -> list[str]:
    """Return each doubt once, with the recordings it is about; one that all share comes last."""
    about: dict[str, list[str]] = {}
    for name, reading in readings.items():
        for doubt in quality_flags(reading):
            about.setdefault(doubt.text, []).append(name)
    if not named:
        return list(about)
    return [
        f"{', '.join(names) if len(names) <= NAMED_MOST else f'{len(names)} recordings'}: {text}"
        for text, names in sorted(about.items(), key=lambda each: len(each[1]))
    ]


def table(readings: Readings, failures: Failures) -> Grid:
    """Return all recordings as a table."""
    rows = [row(name, reading) for name, reading in readings.items()]
    rows += [(name, "no reading", "", "", "") for name in failures]
    return Grid(title="", columns=COLUMNS, rows=rows, numbers=(1, 2, 3))


COLUMNS = ("recording", "rate, s a day", "amplitude, °", "beat error, ms", "beats")


def row(name: str, reading: Reading) -> Sequence[str]:
    """Return one recording as a row of the table."""
    beats = reading.heard.beats
    return (
        name,
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
    total, clear = beats.count + beats.missing, reading.clearness_db
    rows = [
        ("rate", figure(reading.rate_s_per_day, " s a day", sign=True)),
        (
            "rate, the recorder's clock taken as right",
            figure(reading.rate_alone_s_per_day, " s a day", sign=True),
        ),
        ("amplitude", figure(reading.amplitude_deg, "°")),
        ("beat error", figure(reading.beat_error_ms, " ms")),
        ("balance out of beat by", figure(reading.out_of_beat_deg, "°")),
        ("beats an hour", say_nominal(reading)),
        ("clock of the recorder", say_clock(clock)),
        ("lift angle", f"{reading.lift_angle_deg.text()}°"),
        ("scatter of the beats", f"{reading.scatter_ms:.3f} ms"),
        ("tick above the room", "–" if clear is None else f"{clear:.0f} dB"),
        ("heard", f"{beats.count} of {total} beats in {heard.duration_s:.0f} s"),
    ]
    return Grid(title="", columns=("in figures", ""), rows=rows)


def figure(value: Measured | None, unit: str, *, sign: bool = False) -> str:
    """Return a value with its unit, a dash alone where there is none."""
    return text_of(value) if value is None else text_of(value, sign=sign) + unit


SAID_SOURCE = {
    BeatSource.TOLD: "as told",
    BeatSource.CALIBRE: "by the calibre sheet",
    BeatSource.NEAREST: "nearest usual, not told",
}


def say_nominal(reading: Reading) -> str:
    """Return the beats an hour the watch should have, and who says so."""
    wanted, source = reading.beats_per_hour, reading.beats_per_hour_from
    if wanted is None:
        return "not known"
    return f"{wanted:.10g}" + (f", {SAID_SOURCE[source]}" if source else "")


def say_clock(clock: SampleClock) -> str:
    """Return what is known of the recorder's clock."""
    if not clock.checked:
        return f"not checked (within {UNKNOWN_WITHIN_PPM:.0f} ppm)"
    return f"{clock.fast_ppm.text(sign=True)} ppm fast, checked {clock.date}"


@dataclass(slots=True)
class Saved:
    """The files written, what could not be drawn, and why no more could be written."""

    files: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    fault: InputError | None = None


def save_all(outcome: HearingOutcome, beats: Path | None, pictures: Path | None) -> Saved:
    """Write beats and pictures where they are wanted; a fault ends it, but loses no reading."""
    saved, readings = Saved(), outcome.readings
    try:
        for reading, stem in zip(readings.values(), stems(list(readings)), strict=True):
            if beats is not None:
                saved.files.append(save_picture(beats.parent, beats.name, beats_csv(reading)))
            if pictures is not None:
                save_pictures(pictures, stem, reading, outcome.escape_teeth, saved=saved)
    except InputError as fault:
        saved.fault = fault
    return saved


def stems(names: Sequence[str]) -> list[str]:
    """Return what each recording's pictures are called; no two the same.

    Examples
    --------
    >>> stems(["monday/up.wav", "tuesday/up.wav", "-"])
    ['up', 'up-2', 'standard-input']
    """
    taken: list[str] = []
    for name in names:
        stem = "standard-input" if name == STANDARD_INPUT else Path(name).stem
        further = (f"{stem}-{number}" for number in count(2))
        taken.append(stem if stem not in taken else next(f for f in further if f not in taken))
    return taken


def save_pictures(
    folder: Path, stem: str, reading: Reading, escape_teeth: int | None, *, saved: Saved
) -> None:
    """Write the pictures as SVG and all of them as a page."""
    from sideshake.drawings.page import ShownPicture, html_page
    from sideshake.drawings.sound import sound_pictures

    drawn = sound_pictures(reading, escape_teeth)
    if drawn.no_portrait:
        saved.notes.append(f"No portrait of {stem}: {drawn.no_portrait}.")
    unrolled = drawn.unrolled if drawn.long else ""
    single = {
        "lateness": drawn.lateness,
        "unrolled": unrolled,
        "amplitude": drawn.amplitude,
        "portrait": drawn.portrait,
    }
    for what, svg in single.items():
        if svg:
            saved.files.append(save_picture(folder, f"{stem}-{what}.svg", svg))
    shown = [ShownPicture(svg=svg) for svg in single.values() if svg]
    if drawn.unrolled and not unrolled:
        shown.append(ShownPicture(svg=drawn.unrolled, summary="Lateness unrolled along time"))
    notes = [*meaning(reading), *(doubt.text for doubt in quality_flags(reading)), HOW_TO_READ]
    page = html_page(stem, sentence(reading), notes, shown)
    saved.files.append(save_picture(folder, f"{stem}.html", page))
