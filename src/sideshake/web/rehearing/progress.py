"""How far a run that hears again is, in counts and words."""

from dataclasses import dataclass

from django.db.models import Count
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sideshake.web.models import Fate, Rehearing
from sideshake.web.rehearing.services import waiting_rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far a run is."""

    counts: dict[str, int]
    now: str
    """Which reading is being heard; empty when none waits."""

    @property
    def all(self) -> int:
        """Return how many readings it has."""
        return sum(self.counts.values())

    @property
    def waiting(self) -> int:
        """Return how many wait."""
        return self.counts.get(Fate.WAITING, 0)

    @property
    def done(self) -> int:
        """Return how many are done, one way or another."""
        return self.all - self.waiting

    @property
    def sentences(self) -> list[str]:
        """Return what has become of the readings, a sentence for each fate that occurs."""
        counts = {fate: self.counts.get(fate, 0) for fate in Fate}
        return [words % counts[fate] for fate, words in said(counts).items() if counts[fate]]


def said(counts: dict[Fate, int]) -> dict[Fate, str]:
    """Return a sentence for each fate of readings, without its number."""
    return {
        Fate.HEARD: _("%d heard again."),
        Fate.SILENT: _("%d without a reading now."),
        Fate.FAULT: ngettext(
            "%d could not be heard and stayed as it was.",
            "%d could not be heard and stayed as they were.",
            counts[Fate.FAULT],
        ),
        Fate.LEFT: ngettext("%d left as it was.", "%d left as they were.", counts[Fate.LEFT]),
    }


def progress_of(run: Rehearing) -> Progress:
    """Return how far a run is."""
    rows = run.readings.order_by().values_list("fate").annotate(n=Count("pk"))
    first = waiting_rows().filter(run=run).first()
    return Progress(counts=dict(rows), now=first.reading.called if first else "")
