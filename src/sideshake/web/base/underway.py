"""What goes on in memory for a while and is kept nowhere, found again by its key."""

import secrets
import threading
from dataclasses import dataclass, field
from typing import Generic, Protocol, TypeVar

from django.utils.functional import Promise

from sideshake.core.errors import InputError

MOST = 8
"""So many go on at once; the one touched longest ago makes room for a new one."""


class LastTouched(Protocol):
    """Something of which it is known when it was last touched, in seconds of one clock."""

    touched_at: float


Row = TypeVar("Row", bound=LastTouched)


@dataclass(slots=True)
class Underway(Generic[Row]):
    """What is under way, by key; `gone` is said of a key that is none of them any more."""

    gone: str | Promise
    rows: dict[str, Row] = field(default_factory=dict)
    beginning: threading.Lock = field(default_factory=threading.Lock)

    def begin(self, made: Row) -> str:
        """Return the key of what has begun."""
        key = secrets.token_urlsafe(12)
        with self.beginning:
            while len(self.rows) >= MOST:
                del self.rows[min(self.rows, key=lambda each: self.rows[each].touched_at)]
            self.rows[key] = made
        return key

    def at(self, key: str) -> Row:
        """Return what goes on under a key.

        Raises
        ------
        InputError : there is none of that key any more
        """
        found = self.rows.get(key)
        if found is None:
            raise InputError(str(self.gone))
        return found

    def end(self, key: str) -> None:
        """Let go of what is over."""
        self.rows.pop(key, None)
