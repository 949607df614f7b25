"""Hear a recording from a file, with progress where somebody watches."""

import sys
from collections.abc import Iterator, Sequence

from sideshake.core.errors import InputError
from sideshake.sound.listener import Heard, Listener
from sideshake.sound.recording import STANDARD_INPUT, OpenRecording, open_recording

LONG_S = 120.0


def refuse_options(names: Sequence[str]) -> None:
    """Raise InputError if a name is a mistyped option; "-" alone is standard input."""
    for name in names:
        if name.startswith("-") and name != STANDARD_INPUT:
            raise InputError(f"{name} is no option here, see --help; a file so named is ./{name}")


def counted(names: Sequence[str]) -> Iterator[str]:
    """Yield each name; where somebody watches, show how many of several are done."""
    if len(names) < 2 or not sys.stderr.isatty():
        yield from names
        return
    from rich.console import Console
    from rich.progress import track

    yield from track(
        names, "recordings", console=Console(stderr=True), transient=True, show_speed=False
    )


def hear_file(name: str, beats_per_hour: float | None) -> Heard:
    """Return what is heard in the recording `name` ("-" is standard input).

    Raises
    ------
    InputError, NotEnough : as `open_recording` and `Listener` say
    """
    with open_recording(name) as recording:
        listener = Listener(recording.rate_hz, beats_per_hour=beats_per_hour)
        if recording.duration_s > LONG_S and sys.stderr.isatty():
            feed_watched(listener, recording)
        else:
            for block in recording.blocks():
                listener.feed(block)
        return listener.hear()


def feed_watched(listener: Listener, recording: OpenRecording) -> None:
    """Feed a long recording and show how far it is; Ctrl-C stops it."""
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task(recording.name, total=recording.frames)
        for block in recording.blocks():
            listener.feed(block)
            progress.advance(task, block.shape[0])
