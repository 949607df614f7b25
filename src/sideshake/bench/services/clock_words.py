"""The sound clock of a microphone in words, as it stands on every live page."""

from django.utils.translation import gettext as _

from sideshake.bench.models import Reading
from sideshake.bench.services.hearing import clock_of
from sideshake.clocks import USUAL_RECORDER
from sideshake.quantities import COVERAGE_FACTOR, ppm_to_s_per_day
from sideshake.sound.clock import SampleClock


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
    return _(
        "The sound clock of %(recorder)s was checked on %(date)s; it adds %(half).2g s a day "
        "to the rate's interval."
    ) % {"recorder": recorder, "date": clock.date, "half": half}
