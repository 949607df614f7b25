"""How often a password may be tried: by name, by address, and by all together at one moment.

A try is counted before the password is looked at, so that many at once are not let through; the
right password takes the counts back. Time is the processor's own steady clock, which nobody can set
back. All is in memory: it is forgotten when the workshop is closed.
"""

import threading
import time
from dataclasses import dataclass, field

FREE_BY_NAME, FREE_BY_ADDRESS = 5, 20
FIRST_WAIT_S = 15.0
LONGEST_WAIT_S = 300.0
FORGOTTEN_AFTER_S = 3600.0
MOST_KEPT = 10_000


@dataclass(frozen=True, slots=True)
class Count:
    """How many tries there were, and when the last one was (s)."""

    tries: int
    last_s: float


@dataclass(slots=True)
class Tries:
    """The tries of the last hour."""

    counts: dict[str, Count] = field(default_factory=dict)
    turn: threading.Lock = field(default_factory=threading.Lock)

    def claim(self, free: dict[str, int]) -> float:
        """Return how long to wait before the next try (s); at 0 it may be made, and is counted.

        `free` : for each key, such as a name or an address, the tries that cost no wait
        """
        now_s = time.monotonic()
        with self.turn:
            self.forget_old(now_s)
            known = {key: self.counts.get(key, Count(0, 0.0)) for key in free}
            wait_s = max(still_to_wait_s(known[key], free[key], now_s) for key in free)
            if wait_s <= 0:
                for key, count in known.items():
                    self.counts[key] = Count(count.tries + 1, now_s)
        return wait_s

    def take_back(self, keys: list[str]) -> None:
        """Forget the tries of a name whose right password came; an address keeps its others."""
        with self.turn:
            for key in keys:
                self.counts.pop(key, None)

    def forget_old(self, now_s: float) -> None:
        """Forget what is an hour old, and the oldest where there are too many."""
        old = [k for k, count in self.counts.items() if now_s - count.last_s > FORGOTTEN_AFTER_S]
        for key in old:
            del self.counts[key]
        if len(self.counts) > MOST_KEPT:
            by_age = sorted(self.counts, key=lambda key: self.counts[key].last_s)
            for key in by_age[: len(by_age) - MOST_KEPT]:
                del self.counts[key]


def still_to_wait_s(count: Count, free: int, now_s: float) -> float:
    """Return how long to wait (s): it doubles from 15 s with each further try, to five minutes.

    So nobody can lock somebody out for good. The one-time link always works.
    """
    if count.tries < free:
        return 0.0
    wait_s = min(FIRST_WAIT_S * 2.0 ** min(count.tries - free, 10), LONGEST_WAIT_S)
    return float(max(0.0, count.last_s + wait_s - now_s))


TRIES = Tries()
"""Those of this workshop."""
