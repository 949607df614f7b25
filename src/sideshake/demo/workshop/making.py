"""All files of the season, made by several processes at once."""

import os
import signal
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import get_context, resource_tracker
from pathlib import Path

from sideshake.demo.shapes import Season
from sideshake.demo.visit import Photograph, Sound, Visit
from sideshake.demo.workshop.drawing import (
    PHOTOGRAPHS,
    RECORDINGS,
    DrawnPhotograph,
    Sounded,
    ToDraw,
    ToSound,
    draw,
    sound,
)
from sideshake.movement.sheet_file import shipped_sheet

Told = Callable[[int, int], None]
"""Called with how many files are made, of how many."""
PhotographOf = tuple[str, int]
"""The visit's key, and the place of the photograph in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Files:
    """What was made: photographs and recordings by the visit's key and their place in it."""

    photographs: dict[PhotographOf, DrawnPhotograph]
    recordings: dict[PhotographOf, Sounded]


def pictures_wanted(season: Season) -> dict[PhotographOf, ToDraw]:
    """Return every photograph of the season, to be drawn."""
    return {
        (visit.key, place): to_draw(season, visit, each)
        for visit in season.visits
        for place, each in enumerate(visit.photographs)
    }


def to_draw(season: Season, visit: Visit, photograph: Photograph) -> ToDraw:
    """Return a photograph to be drawn."""
    return ToDraw(picture=photograph.picture, watch=season.watch_of(visit), key=visit.key)


def sounds_wanted(season: Season) -> dict[PhotographOf, ToSound]:
    """Return every recording of the season that is kept, to be made."""
    return {
        (visit.key, place): to_sound(season, visit, each)
        for visit in season.visits
        for place, each in enumerate(visit.readings)
        if each.recorded
    }


def to_sound(season: Season, visit: Visit, each: Sound) -> ToSound:
    """Return a recording to be made, heard with what the calibre's sheet tells."""
    calibre = season.watch_of(visit).calibre
    sheet = shipped_sheet(calibre) if calibre else None
    return ToSound(
        sound=each,
        seed=seed_of(visit, each),
        lift_deg=sheet.lift_angle_deg if sheet else None,
        beats_per_hour=sheet.beats_per_hour if sheet else None,
    )


def seed_of(visit: Visit, sound: Sound) -> int:
    """Return the seed of a recording, the same in every season of the same visits."""
    text = f"{visit.key} {sound.position} {sound.wound} {sound.after} {sound.chronograph_on}"
    return int.from_bytes(text.encode(), "big") % 2**31


def make_files(season: Season, files: Path, tell: Told) -> Files:
    """Return the season's files, made in `files`; an interruption stops all of it at once."""
    for name in (PHOTOGRAPHS, RECORDINGS):
        (files / name).mkdir(parents=True, exist_ok=True)
    pictures, sounds = pictures_wanted(season), sounds_wanted(season)
    with pool() as executor:
        try:
            with born_deaf():
                drawn = {key: executor.submit(draw, task, files) for key, task in pictures.items()}
                made = {key: executor.submit(sound, task, files) for key, task in sounds.items()}
            count_up([*drawn.values(), *made.values()], tell)
        except BaseException:
            executor.shutdown(wait=True, cancel_futures=True)
            raise
    return Files(
        photographs={key: each.result() for key, each in drawn.items()},
        recordings={key: each.result() for key, each in made.items()},
    )


def pool() -> ProcessPoolExecutor:
    """Return a process for each processor; Ctrl-C is heard by this one only, which ends them."""
    return ProcessPoolExecutor(
        max_workers=os.cpu_count(), mp_context=get_context("spawn"), initializer=deaf_to_ctrl_c
    )


def deaf_to_ctrl_c() -> None:
    """Let an interruption pass by this process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextmanager
def born_deaf() -> Iterator[None]:
    """Let an interruption pass by the processes begun meanwhile from their first moment on.

    Here it waits until all are begun. Windows cannot, there they are deaf once they have loaded.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    resource_tracker.ensure_running()  # else it begins in between and unblocks what is blocked
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def count_up(futures: Iterable["Future[DrawnPhotograph] | Future[Sounded]"], tell: Told) -> None:
    """Tell how many are done each time one is; a fault in one is raised."""
    waiting = list(futures)
    for done, future in enumerate(as_completed(waiting), start=1):
        future.result()
        tell(done, len(waiting))
