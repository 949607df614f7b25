"""Whether a time service keeps this computer's clock right: the system itself says so."""

import ctypes
import sys

TIME_ERROR = 5
"""What adjtimex(2) returns while nobody keeps the clock right."""
MOST_OFF_US = 100_000
"""A clock that may be off by more than a tenth of a second is still being put right."""
MAXERROR = 3
WORDS = 64
"""`struct timex` has 26 words of the machine; its fourth is the greatest possible error, in µs."""


def kept_right() -> bool:
    """Return whether a time service keeps this computer's clock right.

    False also where the system does not tell: that is every one but Linux.

    References
    ----------
    Linux man page adjtimex(2): the return value, and the field `maxerror`
    """
    if sys.platform != "linux":
        return False
    timex = (ctypes.c_long * WORDS)()
    state = int(ctypes.CDLL(None).adjtimex(ctypes.byref(timex)))
    return state_is_right(state, int(timex[MAXERROR]))


def state_is_right(state: int, most_off_us: int) -> bool:
    """Return whether what the system tells means a clock that is kept right.

    Examples
    --------
    >>> state_is_right(0, 12_000), state_is_right(5, 12_000), state_is_right(0, 16_000_000)
    (True, False, False)
    """
    return 0 <= state < TIME_ERROR and most_off_us <= MOST_OFF_US
