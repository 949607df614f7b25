"""Recordings taken in and heard: at once when short, by one thread in the background when long."""

import logging
import threading
from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields, replace
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from django.conf import settings
from django.db import close_old_connections, transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.analysis.hearing import KnownForHearing, known_of, reading_of, reading_said
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.core.version import EAR, PROGRAM
from sideshake.drawings.strip import LONG_S
from sideshake.sample_clock.kept import USUAL_RECORDER, known_clock
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Listener
from sideshake.sound.recording import OpenRecording, open_recording
from sideshake.sound.told import OtherBeats
from sideshake.storage.files import stream_to_disk, write_whole
from sideshake.storage.folder import made
from sideshake.timing import reading as timed
from sideshake.timing.amplitude_course import LEAST_VALUES
from sideshake.timing.turn.fold import WheelTurn
from sideshake.timing.what_beats import NoWatch
from sideshake.web.base.holding import hold_visits
from sideshake.web.base.saving import index_visit, save
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.models import Reading, Recording, User, Visit
from sideshake.web.readings.heard_rows import (
    HEARD,
    LOOK,
    NO_READING,
    PICTURES,
    UNCERTAINTY,
    WAITING,
)
from sideshake.web.readings.twins import twin_swing
from sideshake.web.storage.stored_files import RECORDINGS, hold_file, stored_file

AT_ONCE_S = 300.0
"""Longer recordings are heard in the background; five minutes take about 0.2 s."""
BLOCKS_BETWEEN = 100
"""How many blocks are heard before it is asked whether anybody still waits."""
NO_WATCH = "no_watch"
"""Under this name stands, in a reading's figures, what speaks against a watch."""
OUR_FAULT = gettext_lazy(
    "this recording could not be heard because of a fault in the program; the terminal where the "
    "workshop was opened tells more. The recording is kept"
)
log = logging.getLogger("sideshake")


class Stopped(NotEnough):
    """The hearing was stopped by somebody."""


def take_in(visit: Visit, chunks: Iterable[bytes], reading: Reading, by: User) -> Reading:
    """Return a reading of an uploaded recording: the file is safe before the rows are written.

    Raises
    ------
    InputError : it is no recording that can be read, or too large; nothing is kept
    """
    facts: list[Any] = []

    def judge(path: Path) -> str:
        with open_recording(path) as sound:
            facts.extend((sound.rate_hz, sound.duration_s))
            return f".{str(sound.sound.format).lower()}"

    folder = made(Path(settings.FILES) / RECORDINGS)
    limit = settings.MOST_RECORDING_BYTES
    stored = stream_to_disk(chunks, folder, limit_bytes=limit, judge=judge)
    rate_hz, duration_s = facts
    with transaction.atomic():
        hold_file(stored.path)
        reading.recording = Recording.objects.create(
            visit=visit,
            stored=stored.path.name,
            sha256=stored.sha256,
            bytes=stored.size_bytes,
            rate_hz=rate_hz,
            duration_s=duration_s,
        )
        reading.visit = visit
        save(reading, by, what=f"recording of {duration_s:.0f} s")
    hear_soon(reading)
    return reading


def file_of(recording: Recording) -> Path:
    """Return where a recording lies.

    Raises
    ------
    InputError : it is gone
    """
    path = stored_file(RECORDINGS, recording.stored)
    if not path.is_file():
        raise InputError(_("its recording is not in the data folder any more; a backup has it"))
    return path


def hear_soon(reading: Reading) -> None:
    """Hear a short recording now, a long one in the background."""
    if reading.recording is not None and reading.recording.duration_s <= AT_ONCE_S:
        hear(reading)
    else:
        threading.Thread(target=hear_waiting, name="hearing", daemon=True).start()


ONE_AT_A_TIME = threading.Lock()


def hear_waiting(closing: threading.Event | None = None) -> None:
    """Hear every reading that waits, one after the other, until the workshop closes.

    The server starts this too: what was waiting when the workshop was killed is taken up again.
    """
    with ONE_AT_A_TIME:
        try:
            hear_those_waiting(closing)
        finally:
            close_old_connections()


def hear_those_waiting(closing: threading.Event | None = None) -> None:
    """Hear every reading that waits, one after the other."""
    for reading in Reading.objects.filter(state=WAITING).exclude(recording=None):
        hear(reading, closing)


def hear(reading: Reading, closing: threading.Event | None = None) -> None:
    """Write into a reading what its recording says, or why it says nothing."""
    try:
        heard = read(reading, partial(given_up, reading, closing))
        put(reading, heard)
        reading.state, reading.no_reading = HEARD, ""
        if reading.recording is not None and reading.recording.duration_s > AT_ONCE_S:
            draw(reading, heard)
    except Stopped:
        return
    except (InputError, NotEnough) as fault:
        put_none(reading, fault)
    except Exception:
        log.exception("the recording of reading %s could not be heard", reading.pk)
        put_none(reading, NotEnough(str(OUR_FAULT)))
    reading.heard_at = timezone.now()
    with transaction.atomic():
        hold_visits([reading.visit_id])
        unchanged = Reading.objects.filter(pk=reading.pk, version=reading.version, state=WAITING)
        if unchanged.update(**values(reading)):
            index_visit(reading.visit)


def why_not(fault: InputError | NotEnough) -> str:
    """Return why there is no reading, as a page says it."""
    if isinstance(fault, OtherBeats):
        return _(
            "%(heard).0f beats an hour are heard, but the calibre sheet says %(told).0f; "
            "correct the watch's calibre"
        ) % {"heard": fault.heard_per_hour, "told": fault.told_per_hour}
    return str(fault)


FIGURES = (
    "beats_per_hour", "rate_s_per_day", "rate_u_s_per_day", "rate_alone_u_s_per_day",
    "amplitude_deg", "amplitude_u_deg", "beat_error_ms", "beat_error_u_ms",
)  # fmt: skip
HEARD_FIELDS = (
    "state", "no_reading", "heard_at", "program", "ear", "sentence", "figures", *FIGURES
)  # fmt: skip


def values(reading: Reading) -> dict[str, Any]:
    """Return what hearing has written into a reading."""
    return {name: getattr(reading, name) for name in HEARD_FIELDS}


def never() -> bool:
    """Return that nobody has given up."""
    return False


def read(reading: Reading, over: Callable[[], bool] = never) -> timed.Reading:
    """Return the reading of a recording, with the calibre's beats and this computer's clock.

    `over` is asked now and then whether anybody still waits for it.

    Raises
    ------
    NotEnough : no watch is heard, and why; or somebody has stopped it
    InputError : the file cannot be read, or the lift angle cannot be
    """
    recording = reading.recording
    if recording is None:
        raise InputError(_("this reading has no recording"))
    known = known_for(reading)
    with open_recording(file_of(recording)) as sound:
        listener = Listener(sound.rate_hz, beats_per_hour=known.per_hour)
        for count, block in enumerate(part_read(sound, reading)):
            listener.feed(block)
            if (count + 1) % BLOCKS_BETWEEN == 0 and over():
                raise Stopped(_("stopped"))
    return reading_of(listener.hear(), known, clock_of(reading))


def part_read(sound: OpenRecording, reading: Reading) -> Iterator[Any]:
    """Yield the part of a recording in which the watch lay still, block by block."""
    first = round(reading.heard_from_s * sound.rate_hz)
    until = reading.heard_until_s
    end = sound.frames if until is None else round(until * sound.rate_hz)
    at = 0
    for block in sound.blocks():
        part = block[max(0, first - at) : max(0, end - at)]
        at += block.shape[0]
        if part.size:
            yield part


def known_for(reading: Reading) -> KnownForHearing:
    """Return what is known of a watch before it is heard: by its calibre sheet and its readings."""
    return replace(
        known_of(sheet_named(reading.visit.watch.calibre)),
        lift_angle_deg=lift_angle(reading),
        expected_deg=twin_swing(reading),
        said_watch=reading.said_watch,
    )


def escape_wheel(reading: Reading) -> int | None:
    """Return the teeth of the escape wheel that the calibre sheet says, if there is one."""
    return known_of(sheet_named(reading.visit.watch.calibre)).escape_teeth


def clock_of(reading: Reading) -> SampleClock:
    """Return the clock of the microphone that heard a reading, as far as it was checked."""
    return known_clock(reading.recorder)


def given_up(reading: Reading, closing: threading.Event | None) -> bool:
    """Return whether nobody waits for a reading any more, or the workshop closes."""
    if closing is not None and closing.is_set():
        return True
    waits = Reading.objects.filter(pk=reading.pk, version=reading.version, state=WAITING)
    return reading.state == WAITING and not waits.exists()


def lift_angle(reading: Reading) -> Measured | None:
    """Return the lift angle: the one typed at the reading, else the calibre sheet's."""
    if reading.lift_angle_deg is not None:
        return Measured(reading.lift_angle_deg, reading.lift_angle_u_deg or 0.0)
    sheet = sheet_named(reading.visit.watch.calibre)
    return sheet.lift_angle_deg if sheet else None


def put(reading: Reading, heard: timed.Reading) -> None:
    """Write the figures of a reading into its row, and who heard them."""
    forget(reading)
    said = reading_said(heard, escape_wheel(reading))
    reading.sentence = said.sentence[:300]
    reading.beats_per_hour = heard.beats_per_hour
    for name, u_name in UNCERTAINTY.items():
        value: Measured | None = getattr(heard, name)
        if value is not None:
            setattr(reading, name, value.value)
            setattr(reading, u_name, value.u)
    alone = heard.rate_alone_s_per_day
    reading.rate_alone_u_s_per_day = None if alone is None else alone.u
    reading.figures = {
        "meaning": [*said.meaning],
        "doubts": [*said.doubts],
        "beats_per_hour_from": str(heard.beats_per_hour_from or ""),
        "lift_angle": heard.lift_angle_deg.text(),
        "lift_angle_deg": heard.lift_angle_deg.value,
        "lift_angle_u_deg": heard.lift_angle_deg.u,
        "recorder": reading.recorder or USUAL_RECORDER,
        "clock": heard.clock.date if heard.clock.checked else "",
        "beats": heard.heard.beats.count,
        "missing": heard.heard.beats.missing,
        "turn": kept_turn(said.turn) if said.turn else None,
        "swing_settled": heard.swing_settled,
        "course": heard.amplitudes_deg.size >= LEAST_VALUES,
        "long": heard.heard.duration_s > LONG_S,
    }


def kept_turn(turn: WheelTurn) -> dict[str, Any]:
    """Return one turn of the escape wheel as it is kept."""
    told = {each.name: getattr(turn, each.name) for each in fields(turn)}
    return {name: np.asarray(value).tolist() for name, value in told.items()}


def put_none(reading: Reading, fault: InputError | NotEnough) -> None:
    """Write into a reading's row that there is none, why, and who found none."""
    forget(reading)
    reading.state, reading.no_reading = NO_READING, why_not(fault)[:300]
    if isinstance(fault, NoWatch):
        reading.figures = {NO_WATCH: [trait.value for trait in fault.against]}


def forget(reading: Reading) -> None:
    """Take all figures out of a reading that this ear hears now."""
    reading.program, reading.ear = PROGRAM, EAR
    reading.sentence, reading.figures = "", {}
    for name in FIGURES:
        setattr(reading, name, None)


KINDS = ("lateness", "unrolled", "amplitude", "portrait")


def picture_file(reading: Reading, kind: str) -> Path:
    """Return where a reading's picture lies; drawn when it is not there yet.

    Raises
    ------
    InputError : there is no such picture
    NotEnough : the recording gives no reading, or too little for this picture
    """
    if kind not in KINDS:
        raise InputError(_("a reading is drawn as lateness, amplitude or portrait"))
    path = picture_path(reading, kind)
    if not path.exists():
        draw(reading, read(reading))
    if not path.exists():
        raise NotEnough(_("this recording does not carry that picture"))
    return path


def picture_path(reading: Reading, kind: str) -> Path:
    """Return where a picture of this version of a reading, and of its sound, lies."""
    folder = made(Path(settings.FILES) / PICTURES)
    sound = reading.recording.sha256[:8] if reading.recording else ""
    return folder / f"{reading.pk}-{reading.version}-{sound}-{kind}-{LOOK}.svg"


def draw(reading: Reading, heard: timed.Reading) -> None:
    """Draw the pictures of a reading, those that its sound carries."""
    from sideshake.drawings.sound import sound_pictures

    drawn = sound_pictures(heard, escape_wheel(reading))
    for kind in KINDS:
        svg = getattr(drawn, kind)
        if svg:
            write_whole(picture_path(reading, kind), svg.encode())


def stop(reading: Reading) -> None:
    """Stop a hearing that waits or goes on; it can be heard again by editing it."""
    Reading.objects.filter(pk=reading.pk, state=WAITING).update(
        state=NO_READING, no_reading=_("stopped before the end")
    )
