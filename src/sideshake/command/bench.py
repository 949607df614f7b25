"""`sideshake bench`: open the workshop and serve it to the browser."""

import getpass
import signal
import socket
import sys
import webbrowser
from pathlib import Path
from types import FrameType
from typing import Annotated, Any

from cyclopts import Parameter

from sideshake.command.database import use_workshop
from sideshake.command.options import PORT
from sideshake.core.errors import InputError


def bench(
    *,
    port: Annotated[
        int, Parameter(help="Where the browser finds it; the next free one if taken.")
    ] = PORT,
    browser: Annotated[bool, Parameter(help="Open the browser.")] = True,
    lan: Annotated[bool, Parameter(help="Let other devices in the local network in.")] = False,
    password: Annotated[
        str | None, Parameter(help="Set the password of this person, then end.")
    ] = None,
) -> None:
    """Open the workshop and serve it."""
    if not 1 <= port <= 65_500:
        raise InputError(f"--port {port} is no port; choose one from 1024 to 65500")
    folder = use_workshop(hosts=own_names() if lan else [])
    if password is not None:
        set_password(password)
        return
    open_and_serve(folder, port=port, browser=browser, lan=lan)


def own_names() -> list[str]:
    """Return by which names other devices find this computer."""
    from sideshake.web.base.network import lan_address

    name = socket.gethostname()
    return [lan_address(), name, f"{name}.local"]


def open_and_serve(folder: Path, *, port: int, browser: bool, lan: bool) -> None:
    """Open the workshop, serve it until Ctrl-C, close it."""
    from sideshake.storage.run_lock import RunLock

    marker = RunLock(folder)
    signal.signal(signal.SIGTERM, stop)
    try:
        server, way_in = opened(marker, port=port, lan=lan)
        if browser:
            webbrowser.open(way_in)
        serve(server)
    finally:
        marker.release()
    tell("The workshop is closed.")


def opened(marker: Any, *, port: int, lan: bool) -> tuple[Any, str]:
    """Return the server, ready to be run, and the address that signs the owner in."""
    from sideshake.web import start
    from sideshake.web.base.notices import keep_notices
    from sideshake.web.serve import EVERYWHERE, HERE, bound_server

    found = start.open_workshop(ended_badly=marker.left_over)
    news = start.news_of(found, ended_badly=marker.left_over)
    if lan:
        start.require_password()
    server = bound_server(EVERYWHERE if lan else HERE, port)
    taken = int(server.effective_port)
    here = f"http://{HERE}:{taken}"
    if taken != port:
        tell(f"The port {port} is taken; this is the next free one.")
    marker.say(here)
    keep_notices(news)
    way_in = start.way_in(here)
    for sentence in [*news, *words(here, way_in, first_time=found.first_time)]:
        tell(sentence)
    if lan:
        tell_lan(taken)
    tell("Ctrl-C closes it.")
    return server, way_in


def words(here: str, way_in: str, *, first_time: bool) -> list[str]:
    """Return what is written when the workshop is open."""
    welcome = ["This is a new workshop; its records lie in " + str(data())] if first_time else []
    return [
        *welcome,
        f"The workshop is open at {here}",
        f"Come in, once and within 15 minutes, by {way_in}",
    ]


def data() -> Path:
    """Return the folder with the records."""
    from django.conf import settings

    return Path(settings.DATA)


def tell_lan(port: int) -> None:
    """Write where other devices find the workshop, and the caution that belongs to it."""
    from sideshake.web.base.network import lan_address

    tell(f"Other devices in this network find it at http://{lan_address()}:{port}")
    tell(
        "The connection is not encrypted: whoever listens in this network can read along, "
        "passwords too. Use it only in a network you trust. Listening by microphone works on this "
        "computer only, since browsers allow it elsewhere over https alone."
    )


def serve(server: Any) -> None:
    """Serve until Ctrl-C."""
    from sideshake.web.serve import serve as serve_pages

    serve_pages(server)


def set_password(name: str) -> None:
    """Ask for a password twice and set it."""
    from sideshake.web import start

    start.ready_records()
    person = start.person_named(name)
    first = getpass.getpass(f"New password for {name}: ")
    if getpass.getpass("Once more: ") != first:
        raise InputError("the two are not the same; nothing was changed")
    start.set_checked_password(person, first)
    tell(f"The password of {name} is set.")


def stop(_signal: int, _frame: FrameType | None) -> None:
    """End as Ctrl-C does."""
    raise KeyboardInterrupt


def tell(sentence: str) -> None:
    """Write a line at once."""
    sys.stdout.write(sentence + "\n")
    sys.stdout.flush()
