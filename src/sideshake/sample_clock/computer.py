"""The computer's clock: does a time server keep it, and how right is its rate over a while?

On Linux the kernel tells (adjtimex(2)); elsewhere it is not known. A kept clock may be off by some
milliseconds at any moment, so its rate over a stretch is the better known the longer that is.
CLOCK_MONOTONIC is steered with it, CLOCK_MONOTONIC_RAW is not: count with the
first (`time.monotonic`) where the clock is kept.
"""

import ctypes
import sys
from collections.abc import Callable
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.sound.clock import UNKNOWN_WITHIN_PPM

UNSYNCHRONISED, NANOSECONDS, CLOCK_ERROR = 0x0040, 0x2000, 5
"""STA_UNSYNC, STA_NANO and TIME_ERROR of adjtimex(2)."""
LONG_BYTES = 8
"""`Timex` is laid out as on 64-bit machines."""
PPM = 65536.0
"""`freq` counts 2^-16 ppm."""
LEAST_ERROR_S = 1e-3
"""A kept clock is not taken to be nearer than that, whatever it says of itself (assumed)."""
UNTOLD_ERROR_S = 10e-3
"""Some programs that keep a clock tell the kernel an error of 0; 10 ms, then (assumed)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kernel:
    """What the kernel says of its clock: seconds, and the correction of its crystal in ppm."""

    synchronised: bool
    error_s: float
    still_to_slew_s: float
    corrected_ppm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SystemClock:
    """The computer's clock; `kept` is None where it is not known whether anything keeps it.

    `error_s` : how far it may be off, a bound
    `corrected_ppm` : how much its crystal is being corrected
    """

    kept: bool | None
    error_s: float = 0.0
    corrected_ppm: float = 0.0

    def within_ppm(self, over_s: float) -> float:
        """Return the bound of its rate over a stretch, at most that of any unchecked clock.

        A line through times that are off by up to e each is steepest, 3 e over the length, if all
        of the one half are early and all of the other late (12 / T^3 times the integral of
        (t - T/2) e over T, the slope of least squares).

        Examples
        --------
        >>> SystemClock(kept=True, error_s=0.001).within_ppm(1000)
        3.0
        """
        if not over_s > 0:
            raise InputError(f"a stretch of time must be above 0 s, got {over_s}")
        if not self.kept:
            return UNKNOWN_WITHIN_PPM
        return min(UNKNOWN_WITHIN_PPM, 3 * self.error_s / over_s * 1e6)

    def words(self) -> str:
        """Return what is to be said of it."""
        if self.kept:
            return (
                "A time server keeps this computer's clock: it is right to "
                f"{self.error_s * 1e3:.0f} ms, its crystal is corrected by "
                f"{self.corrected_ppm:+.1f} ppm."
            ).replace("-", "−")
        state = (
            "No time server keeps this computer's clock"
            if self.kept is False
            else "It is not known whether a time server keeps this computer's clock"
        )
        return (
            f"{state}: it may be {UNKNOWN_WITHIN_PPM:.0f} ppm off like any sound card, so counting "
            "against it tells nothing. Set the time automatically in the system's settings, or "
            "record a quartz watch."
        )


class Timex(ctypes.Structure):
    """The kernel's `struct timex` (adjtimex(2))."""

    _fields_ = (
        ("modes", ctypes.c_uint), ("offset", ctypes.c_long), ("freq", ctypes.c_long),
        ("maxerror", ctypes.c_long), ("esterror", ctypes.c_long), ("status", ctypes.c_int),
        ("constant", ctypes.c_long), ("precision", ctypes.c_long), ("tolerance", ctypes.c_long),
        ("seconds", ctypes.c_long), ("part", ctypes.c_long), ("tick", ctypes.c_long),
        ("rest", ctypes.c_long * 20),
    )  # fmt: skip


def ask_kernel() -> Kernel | None:
    """Return what the kernel says; None where it cannot be asked (another system, a sandbox)."""
    if not sys.platform.startswith("linux") or ctypes.sizeof(ctypes.c_long) != LONG_BYTES:
        return None
    asked = Timex()
    state = ctypes.CDLL(None, use_errno=True).adjtimex(ctypes.byref(asked))
    return None if state < 0 else as_told(asked, state)


def as_told(asked: Timex, state: int) -> Kernel:
    """Return the kernel's answer in seconds and ppm."""
    unit_s = 1e-9 if asked.status & NANOSECONDS else 1e-6
    return Kernel(
        synchronised=state != CLOCK_ERROR and not asked.status & UNSYNCHRONISED,
        error_s=asked.esterror * 1e-6,
        still_to_slew_s=abs(asked.offset) * unit_s,
        corrected_ppm=asked.freq / PPM,
    )


def system_clock(ask: Callable[[], Kernel | None] = ask_kernel) -> SystemClock:
    """Return the state of the computer's clock just now."""
    told = ask()
    if told is None:
        return SystemClock(kept=None)
    if not told.synchronised:
        return SystemClock(kept=False, corrected_ppm=told.corrected_ppm)
    error_s = max(told.error_s, LEAST_ERROR_S) if told.error_s > 0 else UNTOLD_ERROR_S
    return SystemClock(
        kept=True, error_s=error_s + told.still_to_slew_s, corrected_ppm=told.corrected_ppm
    )
