"""Which readings are to be heard again: of a reading, a visit, a watch, or all."""

from dataclasses import dataclass

from django.db.models import Count, F, Q, QuerySet, Sum
from django.utils.translation import gettext as _

from sideshake.core.version import EAR
from sideshake.web.models import ENDED, Reading, Scope, Visit, Watch
from sideshake.web.readings.heard_rows import HEARD, LIVE, NO_READING, WAITING

SETTLED = Q(state__in=(HEARD, NO_READING))
KEPT = SETTLED & Q(recording__isnull=False)
BY_THIS_EAR = KEPT & Q(ear=EAR)


@dataclass(frozen=True, slots=True, kw_only=True)
class RehearingAsked:
    """Readings to be heard again; those this ear has heard already only with `everything`.

    `of` says in words whose readings they are
    """

    scope: Scope
    of: str
    readings: QuerySet[Reading]
    everything: bool = False

    def chosen(self) -> QuerySet[Reading]:
        """Return the readings that are asked for."""
        return self.readings if self.everything else self.readings.exclude(BY_THIS_EAR)

    def nothing_to_hear(self, reasons: set[str]) -> str:
        """Return why nothing can be heard again; `reasons` are those of the readings chosen."""
        if reasons:
            return _("nothing can be heard again: %(why)s") % {"why": "; ".join(sorted(reasons))}
        if self.readings.exists():
            return _("this ear (%(ear)d) has heard all of them already") % {"ear": EAR}
        return _("nothing has been heard yet")


def of_reading(reading: Reading) -> RehearingAsked:
    """Return one reading, by whatever ear it was heard."""
    rows = Reading.objects.filter(pk=reading.pk)
    return RehearingAsked(scope=Scope.READING, of=reading.called, readings=rows, everything=True)


def of_visit(visit: Visit, *, everything: bool = False) -> RehearingAsked:
    """Return the readings of a visit."""
    return RehearingAsked(
        scope=Scope.VISIT, of=f"{visit.number}, {visit.watch.title}",
        readings=Reading.objects.filter(visit=visit), everything=everything,
    )  # fmt: skip


def of_watch(watch: Watch, *, everything: bool = False) -> RehearingAsked:
    """Return the readings of a watch, over all its visits."""
    return RehearingAsked(
        scope=Scope.WATCH, of=watch.title, readings=Reading.objects.filter(visit__watch=watch),
        everything=everything,
    )  # fmt: skip


def of_all(*, everything: bool = False) -> RehearingAsked:
    """Return all readings of the workshop."""
    return RehearingAsked(
        scope=Scope.ALL, of="", readings=Reading.objects.all(), everything=everything
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RehearingOutlook:
    """How many readings there are, and what would become of them.

    `older` were heard by another ear, `by_this` by this one, of `lost` no recording is kept,
    `busy` wait or are listened to; `gone` of the older ones belong to visits that have ended
    """

    all: int
    older: int
    by_this: int
    lost: int
    busy: int
    gone: int
    older_s: float
    by_this_s: float

    @property
    def older_minutes(self) -> int:
        """Return how much sound the older ones hold, in whole minutes, at least one."""
        return max(1, round(self.older_s / 60))

    @property
    def both(self) -> int:
        """Return how many could be heard again."""
        return self.older + self.by_this

    @property
    def both_minutes(self) -> int:
        """Return how much sound both hold, in whole minutes, at least one."""
        return max(1, round((self.older_s + self.by_this_s) / 60))


def outlook(readings: QuerySet[Reading]) -> RehearingOutlook:
    """Return what would become of readings, in one question to the database."""
    older = KEPT & ~Q(ear=EAR)
    length = F("recording__duration_s")
    found = readings.order_by().aggregate(
        all=Count("pk"),
        older=Count("pk", filter=older),
        by_this=Count("pk", filter=BY_THIS_EAR),
        lost=Count("pk", filter=SETTLED & Q(recording__isnull=True)),
        busy=Count("pk", filter=Q(state__in=(LIVE, WAITING))),
        gone=Count("pk", filter=older & Q(visit__step__in=ENDED)),
        older_s=Sum(length, filter=older, default=0.0),
        by_this_s=Sum(length, filter=BY_THIS_EAR, default=0.0),
    )
    return RehearingOutlook(**found)
