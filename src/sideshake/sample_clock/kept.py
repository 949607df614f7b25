"""The checked sample clocks, one a recorder, kept in a file in the user's config folder."""

import datetime
import json
import threading
from dataclasses import replace
from pathlib import Path
from typing import Any

from platformdirs import user_config_path

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.sound.clock import SampleClock, unchecked_clock

USUAL_RECORDER = "this computer"
VERSION = 1
HOLDS_DAYS = 365
"""A crystal ages by a few ppm a year, most in its first (common practice, no source)."""
WRITING = threading.Lock()


def clocks_file() -> Path:
    """Return where the clocks are kept."""
    return user_config_path("sideshake") / "clocks.json"


def kept_clocks() -> dict[str, SampleClock]:
    """Return the clocks by recorder name.

    Raises
    ------
    InputError : the file cannot be read, or was changed so that it makes no sense
    """
    path = clocks_file()
    if not path.exists():
        return {}
    try:
        tree = json.loads(path.read_text(encoding="utf-8"))
        return {name: clock_of(name, entry) for name, entry in tree["clocks"].items()}
    except OSError as fault:
        raise InputError(f"{path} cannot be read ({fault.strerror}); move it away") from None
    except (ValueError, KeyError, TypeError, AttributeError) as fault:
        raise InputError(
            f"{path} is damaged ({fault}); mend it, or move it away and check the clocks again"
        ) from None


def clock_of(name: str, entry: dict[str, Any]) -> SampleClock:
    """Return the clock that an entry of the file describes."""
    fast = Measured(float(entry["fast_ppm"]), float(entry["u_ppm"]))
    date, how = str(entry["date"]), str(entry.get("how", ""))
    return SampleClock(fast_ppm=fast, checked=True, name=name, date=date, how=how)


def entry_of(clock: SampleClock) -> dict[str, Any]:
    """Return a clock as the file holds it."""
    return {
        "fast_ppm": clock.fast_ppm.value,
        "u_ppm": clock.fast_ppm.u,
        "date": clock.date,
        "how": clock.how,
    }


def keep_clocks(clocks: dict[str, SampleClock]) -> None:
    """Write the clocks; the old file stays until the new one is whole."""
    path = clocks_file()
    entries = {name: entry_of(each) for name, each in clocks.items()}
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh = path.with_suffix(".new")
        fresh.write_text(json.dumps({"version": VERSION, "clocks": entries}, indent=2), "utf-8")
        fresh.replace(path)
    except OSError as fault:
        raise InputError(f"cannot keep the clock in {path}: {fault.strerror}") from None


def keep_clock(clock: SampleClock, *also: str) -> None:
    """Keep a checked clock under its own name, and under other names that mean the same clock."""
    with WRITING:
        fresh = {name: replace(clock, name=name) for name in (clock.name, *also)}
        keep_clocks({**kept_clocks(), **fresh})


def forget_clock(recorder: str) -> None:
    """Forget a recorder's clock.

    Raises
    ------
    InputError : there is none
    """
    with WRITING:
        clocks = kept_clocks()
        if recorder not in clocks:
            raise InputError(f"no clock was checked for {recorder!r}: nothing to forget")
        keep_clocks({name: each for name, each in clocks.items() if name != recorder})


def is_old(clock: SampleClock, today: datetime.date) -> bool:
    """Return whether a clock was checked more than a year ago, or on a day that is no date.

    Examples
    --------
    >>> from sideshake.core.quantities import Measured
    >>> kept = SampleClock(fast_ppm=Measured(3, 1), checked=True, date="2025-03-01")
    >>> is_old(kept, datetime.date(2026, 3, 1)), is_old(kept, datetime.date(2026, 3, 2))
    (False, True)
    """
    try:
        checked_on = datetime.date.fromisoformat(clock.date)
    except ValueError:
        return True
    return (today - checked_on).days > HOLDS_DAYS


def known_clock(recorder: str) -> SampleClock:
    """Return the clock of a recorder, the usual one if none is named, as far as it was checked."""
    return kept_clocks().get(recorder or USUAL_RECORDER, unchecked_clock())


def clock_for(recorder: str) -> SampleClock:
    """Return the checked clock of a recorder, or the unchecked one.

    Raises
    ------
    InputError : a recorder was named that has no checked clock
    """
    clocks = kept_clocks()
    if recorder in clocks:
        return clocks[recorder]
    if recorder != USUAL_RECORDER:
        known = ", ".join(sorted(clocks)) or "none"
        raise InputError(f"no clock was checked for {recorder!r}; known recorders: {known}")
    return unchecked_clock()
