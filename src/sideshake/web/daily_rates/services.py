"""Writing a programme of daily rates: comparisons added, mended, taken back; days left out."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.analysis.daily_rates import CourseEntry
from sideshake.core.errors import InputError
from sideshake.web.base.putting_aside import link, put_aside
from sideshake.web.base.saving import current_row, tell
from sideshake.web.daily_rates.course import course, entries, stored
from sideshake.web.models import Programme, Removed, User

CLOCKS_APART = timedelta(minutes=5)
"""How far another device's clock may be ahead before a comparison lies in the future."""


def compare(
    programme: Programme, entry: CourseEntry, by: User, *, anew: bool, seen: int | None
) -> None:
    """Add a comparison: it ends the day that runs; the first one, or one anew, only begins it.

    Raises
    ------
    InputError : the programme is over, or the moment lies in the future or before the last one
    Overtaken : somebody else was quicker
    """
    standing = course(programme)
    if standing.day is None or not standing.is_open:
        raise InputError(_("this programme is over: no further comparison belongs to it"))
    begins = anew or standing.is_first
    entry = replace(entry, day=0 if begins else standing.day.number)
    write(programme, [*entries(programme), entry], by, seen=seen, what=words(entry))


def mend(
    programme: Programme, place: int, entry: CourseEntry, by: User, *, seen: int | None
) -> None:
    """Put right moment, state or whether the day counts; the day it ends stays."""
    book = entries(programme)
    old = comparison_at(book, place)
    book[place] = replace(entry, day=old.day, counts=entry.counts or not old.day)
    what = _("put right: %(what)s") % {"what": words(book[place])}
    write(programme, book, by, seen=seen, what=what)


def comparison_at(book: list[CourseEntry], place: int) -> CourseEntry:
    """Return a comparison of the book.

    Raises
    ------
    InputError : there is none at that place
    """
    if not 0 <= place < len(book) or book[place].is_left_out:
        raise InputError(_("there is no such comparison any more"))
    return book[place]


@transaction.atomic
def take_back(programme: Programme, by: User, *, place: int, seen: int | None = None) -> Removed:
    """Put aside the last line of the book; those before it carry later days.

    Raises
    ------
    InputError : it is not the last
    """
    book = entries(programme)
    if not book or place != len(book) - 1:
        raise InputError(
            _(
                "only the last line can be taken back, for later days begin where this one ends; "
                "mend it, or say that its day does not count"
            )
        )
    told = words(book[-1])
    links = [link(programme, "states"), link(programme, "ended_on")]
    what = _("taken out of the book: %(what)s") % {"what": told}
    write(programme, book[:-1], by, seen=seen, what=what)
    left = [link(programme, "states"), link(programme, "ended_on")]
    held = {"links": links, "left": left}
    return put_aside(programme, by, held, what=told, kind="comparison")


def leave_out(programme: Programme, by: User, *, seen: int | None) -> None:
    """Leave out the day that follows: it is not run, and the next begins where it would have.

    Raises
    ------
    InputError : no day follows
    """
    standing = course(programme)
    if standing.day is None or not standing.is_open:
        raise InputError(_("no day follows that could be left out"))
    entry = CourseEntry(day=standing.day.number)
    write(programme, [*entries(programme), entry], by, seen=seen, what=words(entry))


def words(entry: CourseEntry) -> str:
    """Return a line of the book in words, for the history."""
    if entry.at is None:
        return _("daily rates: day %(n)d left out") % {"n": entry.day}
    told = {"state": f"{entry.state_s:+g}", "at": f"{timezone.localtime(entry.at):%Y-%m-%d %H:%M}"}
    if not entry.day:
        return _("daily rates: begun at %(state)s s, %(at)s") % told
    return _("daily rates: day %(n)d ended at %(state)s s, %(at)s") % {**told, "n": entry.day}


@transaction.atomic
def write(
    programme: Programme, book: list[CourseEntry], by: User, *, seen: int | None, what: str
) -> None:
    """Write the book; a programme whose last day is behind has ended, and one taken back goes on.

    Raises
    ------
    InputError : a comparison lies in the future, or not after the one before it
    Overtaken : somebody else was quicker
    """
    require_order(book)
    was_over = course(programme).day is None
    current_row(programme, seen)
    programme.states = [stored(entry) for entry in book]
    over = course(programme).day is None
    if over != was_over:
        programme.ended_on = last_day(book) if over else None
    programme.version += 1
    programme.save()
    tell(programme, by, what, {})


def last_day(book: list[CourseEntry]) -> date:
    """Return the day of the last comparison; today when there is none."""
    moments = [entry.at for entry in book if entry.at]
    return timezone.localdate(moments[-1]) if moments else timezone.localdate()


def require_order(book: list[CourseEntry]) -> None:
    """Refuse comparisons that do not come one after the other, or have not been yet."""
    moments = [entry.at for entry in book if entry.at]
    for earlier, later in pairwise(moments):
        if later <= earlier:
            raise InputError(
                _("%(later)s does not come after the comparison before it, %(earlier)s")
                % {"later": minute(later), "earlier": minute(earlier)}
            )
    if moments and moments[-1] > timezone.now() + CLOCKS_APART:
        raise InputError(_("%(at)s lies in the future") % {"at": minute(moments[-1])})


def minute(moment: datetime) -> str:
    """Return a moment as it is typed."""
    return f"{timezone.localtime(moment):%Y-%m-%d %H:%M}"
