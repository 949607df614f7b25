"""Serving the workshop on this computer, or on the local network when asked to."""

import ctypes
import errno
import os
import tempfile
from collections.abc import Callable
from threading import Event, Thread
from typing import Any

from django.conf import settings
from waitress import create_server

from sideshake.core.errors import InputError
from sideshake.web.base.gate import MOST_CONNECTIONS, SILENT_AFTER_S, Connection
from sideshake.web.storage.automatic import keep_daily
from sideshake.web.wsgi import application

HERE = "127.0.0.1"
EVERYWHERE = "0.0.0.0"
THREADS = 16
"""Eight that listen, and as many for the pages."""
PORTS_TRIED = 10
LAST_WORDS_S = 3
"""How long closing waits for what runs beside; a hearing that is cut off is done again later."""
MARGIN_BYTES = 10 * 1024**2


M_ARENA_MAX = -8
ARENAS = 2
"""The GNU C library keeps a pool of free memory for each thread; eight threads that hear would hold
130 MB more for nothing (docs/performance.md)."""


def keep_memory_small() -> None:
    """Let threads share their pools of free memory, where the C library can be told to."""
    tell = getattr(ctypes.CDLL(None), "mallopt", None) if os.name == "posix" else None
    if tell is not None:
        tell(M_ARENA_MAX, ARENAS)


def bound_server(host: str, port: int) -> Any:
    """Return a server that has its port: the one wanted, or the next free one.

    Raises
    ------
    InputError : none of the ports is free, or the system refuses them
    """
    keep_memory_small()  # before the first thread
    tempfile.tempdir = settings.FILE_UPLOAD_TEMP_DIR  # large requests wait beside the data
    for tried in range(port, port + PORTS_TRIED):
        try:
            server = create_server(
                application,
                host=host,
                port=tried,
                threads=THREADS,
                ident="",
                max_request_body_size=settings.MOST_RECORDING_BYTES + MARGIN_BYTES,
                url_scheme="https" if settings.HTTPS else "http",
                connection_limit=MOST_CONNECTIONS,
                channel_timeout=SILENT_AFTER_S,
                asyncore_use_poll=True,
            )
            server.channel_class = Connection
            return server
        except OSError as error:
            if error.errno == errno.EACCES:
                raise InputError(f"port {tried} is not allowed here; try --port 8137") from None
            if error.errno != errno.EADDRINUSE:
                raise
    raise InputError(
        f"the ports {port} to {port + PORTS_TRIED - 1} are all taken; choose another with --port"
    )


def hear_what_waits(stop: Event) -> None:
    """Hear the recordings that still waited when the workshop was closed or killed."""
    from sideshake.web.readings.hearing import hear_waiting  # loads all that listens

    hear_waiting(stop)


def go_on_hearing_again(stop: Event) -> None:
    """Hear again what a run had left when the workshop was closed or killed."""
    from sideshake.web.rehearing.services import go_on  # loads all that listens

    go_on(stop)


def judge_what_is_here(closing: Event) -> None:
    """Reckon the verdicts on the watches that are here, so that their pages open at once."""
    from sideshake.web.measuring.services import judge_those_here  # loads all that judges

    judge_those_here(closing)


def finish_live(closing: Event) -> None:
    """Finish live readings whose page is gone, every minute."""
    from sideshake.web.readings.listening import finish_what_was_left  # loads all that listens

    finish_what_was_left(closing)


def index_what_is_left(closing: Event) -> None:
    """Make findable what an older Sideshake left without its words for apprentices."""
    from sideshake.web.base.saving import index_left

    index_left(closing)


BESIDE: list[Callable[[Event], None]] = [
    keep_daily,
    hear_what_waits,
    go_on_hearing_again,
    judge_what_is_here,
    finish_live,
    index_what_is_left,
]
"""What runs beside the pages, each in its own thread, until the event is set."""


def serve(server: Any) -> None:
    """Serve until stopped; what runs beside the pages is told when to end."""
    stop = Event()
    beside = [Thread(target=each, args=(stop,), daemon=True) for each in BESIDE]
    for thread in beside:
        thread.start()
    try:
        server.run()
    finally:
        stop.set()
        for thread in beside:
            thread.join(timeout=LAST_WORDS_S)
        server.close()
