"""Who may send much, and how long a request may take, before a byte of its body is kept.

The server would otherwise take a whole upload in, from anybody, before a page could ask who it is;
and a hundred half-sent requests would keep everybody else out.
"""

import copy
import time
from http.cookies import CookieError, SimpleCookie
from typing import Any

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends.cached_db import SessionStore
from django.db import DatabaseError, close_old_connections
from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser

STRANGERS_BYTES = 64_000
"""A form to sign in is far smaller."""
HEAD_WITHIN_S, STRANGER_WITHIN_S, SILENT_AFTER_S = 20.0, 60.0, 60
MOST_CONNECTIONS, MOST_FROM_ONE = 500, 40
THIS_COMPUTER = ("127.", "::1")


class Guard(HTTPRequestParser):  # type: ignore[misc] # waitress tells no types
    """Reads a request; of somebody who has not signed in it takes a small body only."""

    def __init__(self, adj: Any) -> None:
        """Begin to read a request."""
        super().__init__(adj)
        self.adj: Any = adj
        self.begun_s = time.monotonic()
        self.stranger = False

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head; decide who is asking before the body comes."""
        super().parse_header(header_plus)
        if self.content_length <= STRANGERS_BYTES and not self.chunked:
            return
        self.stranger = not is_signed_in(self.headers.get("COOKIE", ""))
        if self.stranger:
            self.adj = copy.copy(self.adj)
            self.adj.max_request_body_size = STRANGERS_BYTES

    def is_too_slow(self) -> bool:
        """Return whether this request has taken longer than it may."""
        age_s = time.monotonic() - self.begun_s
        if not self.headers_finished:
            return age_s > HEAD_WITHIN_S
        return self.stranger and not self.completed and age_s > STRANGER_WITHIN_S


class Channel(HTTPChannel):  # type: ignore[misc] # waitress tells no types
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
