"""Sound clocks in words: what is known of one, how it was checked, how good a check is so far."""

import math
from dataclasses import dataclass

from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.quantities import COVERAGE_FACTOR, Measured, ppm_to_s_per_day
from sideshake.sample_clock.checked import ClockFound, How
from sideshake.sample_clock.kept import USUAL_RECORDER, is_old, kept_clocks
from sideshake.sound.clock import SampleClock
from sideshake.web.models import Reading
from sideshake.web.readings.hearing import clock_of

MINUTE_S = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptRow:
    """A checked sound clock as the list shows it."""

    name: str
    fast_ppm: str
    seeming: str
    date: str
    again: str
    way: str


def kept_rows() -> list[KeptRow]:
    """Return the checked sound clocks by name."""
    return [
        KeptRow(
            name=name,
            fast_ppm=clock.fast_ppm.text(sign=True),
            seeming=seeming(clock.fast_ppm),
            date=clock.date,
            again=again(clock),
            way=way(clock.how),
        )
        for name, clock in sorted(kept_clocks().items())
    ]


def clock_sentence(reading: Reading) -> str:
    """Return what is known of the sound clock that a reading is taken with."""
    return words_of(clock_of(reading), reading.recorder or USUAL_RECORDER)


def words_of(clock: SampleClock, recorder: str) -> str:
    """Return what is known of a recorder's sound clock, and what that means for the rate."""
    half = COVERAGE_FACTOR * ppm_to_s_per_day(clock.fast_ppm.u)
    if not clock.checked:
        return _(
            "The sound clock of %(recorder)s is not checked: the rate may be off by "
            "%(half).1f s a day for that alone."
        ) % {"recorder": recorder, "half": half}
    told = _(
        "The sound clock of %(recorder)s was checked on %(date)s (%(off)s); it adds %(half).2g s "
        "a day to the rate's interval."
    ) % {"recorder": recorder, "date": clock.date, "off": off(clock.fast_ppm), "half": half}
    return f"{told} {again(clock)}".strip()


def again(clock: SampleClock) -> str:
    """Return a sentence for a check that has grown old, else nothing."""
    if not is_old(clock, timezone.localdate()):
        return ""
    return _("That is more than a year ago: check it again.")


def off(fast_ppm: Measured) -> str:
    """Return by how much a clock is fast or slow, in parts per million."""
    off_ppm = Measured(abs(fast_ppm.value), fast_ppm.u).text()
    words = _("%(off)s ppm fast") if fast_ppm.value >= 0 else _("%(off)s ppm slow")
    return words % {"off": off_ppm}


def seeming(fast_ppm: Measured) -> str:
    """Return what a clock that is off does to a watch's rate when nobody corrects it."""
    day = Measured(abs(ppm_to_s_per_day(fast_ppm.value)), ppm_to_s_per_day(fast_ppm.u)).text()
    words = (
        _("a watch seems to lose %(day)s s a day")
        if fast_ppm.value >= 0
        else _("a watch seems to gain %(day)s s a day")
    )
    return words % {"day": day}


def way(how: str) -> str:
    """Return how a clock was checked."""
    ways = {How.TICK: _("a tick"), How.COUNTS: _("a computer's clock")}
    return {str(key): words for key, words in ways.items()}.get(how, "")


def found_sentence(found: ClockFound) -> str:
    """Return what a check says so far."""
    fast = found.clock.fast_ppm
    return _("%(off)s: uncorrected, %(seeming)s.") % {"off": off(fast), "seeming": seeming(fast)}


def advice(found: ClockFound) -> str:
    """Return how much longer listening is advisable."""
    if found.more_s < 1:
        return _("Good enough: longer listening would change little.")
    if found.more_s < MINUTE_S:
        return _("About %(more).0f s more make it surer.") % {"more": found.more_s}
    return _("About %(more)d min more make it surer.") % {
        "more": math.ceil(found.more_s / MINUTE_S)
    }


def stored_sentence(clock: SampleClock) -> str:
    """Return that a clock is stored, and what it says."""
    return _("Stored: the sound clock of %(recorder)s is %(off)s; uncorrected, %(seeming)s.") % {
        "recorder": clock.name,
        "off": off(clock.fast_ppm),
        "seeming": seeming(clock.fast_ppm),
    }
