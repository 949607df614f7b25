"""Who may send much, and how long a request may take, before a byte of its body is kept.

The server would otherwise take a whole upload in, from anybody, before a page could ask who it is;
and a hundred half-sent requests would keep everybody else out.
"""

import copy
import time
from contextlib import suppress
from http.cookies import CookieError, SimpleCookie
from typing import Any

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends.cached_db import SessionStore
from django.db import DatabaseError, close_old_connections
from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser
from waitress.utilities import Error

from sideshake.web.base.fault_pages import bare
from sideshake.web.base.faults import FAILING_WORDS, UNAVAILABLE, FaultTold, told
from sideshake.web.base.middleware import RULES

STRANGERS_BYTES = 64_000
"""A form to sign in is far smaller."""
HEAD_WITHIN_S, STRANGER_WITHIN_S, SILENT_AFTER_S = 20.0, 60.0, 60
MOST_CONNECTIONS, MOST_FROM_ONE = 500, 40
THIS_COMPUTER = ("127.", "::1")


class NotKept(Error):  # type: ignore[misc] # noqa: N818 - an answer; waitress tells no types
    """The answer to a request whose body could not be put on the disk."""

    def __init__(self, fault: OSError) -> None:
        """Keep why."""
        super().__init__(str(fault))
        self.told = told(fault) or FaultTold(words=FAILING_WORDS, status=UNAVAILABLE)

    def to_response(self, ident: str | None = None) -> tuple[str, list[tuple[str, str]], bytes]:  # noqa: ARG002 - as waitress calls it
        """Return status, headers and page."""
        page = bare(self.told)
        headers = [("Content-Type", "text/html; charset=utf-8"), ("Content-Security-Policy", RULES)]
        return f"{page.status_code} {page.reason_phrase}", headers, page.content


class Guard(HTTPRequestParser):  # type: ignore[misc] # waitress tells no types
    """Reads a request; of somebody who has not signed in it takes a small body only."""

    def __init__(self, adj: Any) -> None:
        """Begin to read a request."""
        super().__init__(adj)
        self.adj: Any = adj
        self.begun_s = time.monotonic()
        self.stranger = False
        self.refused: NotKept | None = None

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head; decide who is asking before the body comes."""
        super().parse_header(header_plus)
        if self.content_length <= STRANGERS_BYTES and not self.chunked:
            return
        self.stranger = not is_signed_in(self.headers.get("COOKIE", ""))
        if self.stranger:
            self.adj = copy.copy(self.adj)
            self.adj.max_request_body_size = STRANGERS_BYTES

    def received(self, data: bytes) -> int:
        """Return how much of the data was taken; a body that the disk refuses is let go."""
        if self.refused is not None:
            return self.let_go(data)
        try:
            return int(super().received(data))
        except OSError as fault:
            self.refused = NotKept(fault)
            return self.let_go(data)

    def let_go(self, data: bytes) -> int:
        """Take the rest of a body and keep nothing of it, so that the answer can be read."""
        left = len(data) if self.chunked else self.content_length - self.body_bytes_received
        taken = min(len(data), left)
        self.body_bytes_received += taken
        if self.chunked or taken == left:
            self.error, self.completed = self.refused, True
        return taken

    def close(self) -> None:
        """Let go of the body; what the disk did not take of it cannot be put there now either."""
        with suppress(OSError):
            super().close()

    def is_too_slow(self) -> bool:
        """Return whether this request has taken longer than it may."""
        age_s = time.monotonic() - self.begun_s
        if not self.headers_finished:
            return age_s > HEAD_WITHIN_S
        return self.stranger and not self.completed and age_s > STRANGER_WITHIN_S


class Connection(HTTPChannel):  # type: ignore[misc] # waitress tells no types
    """A connection; one computer has so many, and a request that dawdles loses its own."""

    parser_class = Guard

    def __init__(self, server: Any, sock: Any, addr: Any, adj: Any, map: Any = None) -> None:  # noqa: A002 - as waitress calls it
        """Take a connection, or close it at once if that computer has too many."""
        super().__init__(server, sock, addr, adj, map=map)
        self.will_close = has_too_many(addr, server.active_channels.values())

    def readable(self) -> bool:
        """Return whether more is to be read; asked about once a second."""
        if self.request is not None and self.request.is_too_slow():
            self.will_close = True
        return bool(super().readable())


def has_too_many(addr: Any, others: Any) -> bool:
    """Return whether another computer has more connections than it may."""
    host = str(addr[0])
    if host.startswith(THIS_COMPUTER):
        return False
    return bool(sum(each.addr[0] == addr[0] for each in others) > MOST_FROM_ONE)


def is_signed_in(cookies: str) -> bool:
    """Return whether a request's cookies belong to somebody who has signed in."""
    try:
        found = SimpleCookie(cookies).get(settings.SESSION_COOKIE_NAME)
    except CookieError:
        return False
    if found is None:
        return False
    try:
        return bool(SESSION_KEY in SessionStore(found.value).load())
    except DatabaseError:
        return False
    finally:
        close_old_connections()
