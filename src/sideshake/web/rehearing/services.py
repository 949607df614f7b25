"""Hearing again: kept recordings heard by the present ear; what they said before is kept.

A run is written down before anything is heard, a row for each reading: it goes on after a restart,
one recording that cannot be heard stops nothing, and every figure can be put back.
"""

import threading
from collections.abc import Iterator
from functools import partial

from django.db import close_old_connections, transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.version import EAR, PROGRAM
from sideshake.web.base.holding import held, hold_visits
from sideshake.web.base.saving import EditConflict, plain, save
from sideshake.web.models import ENDED, Earlier, Fate, Reading, Rehearing, User
from sideshake.web.readings.heard_rows import HEARD, LIVE, WAITING
from sideshake.web.readings.hearing import (
    AT_ONCE_S,
    ONE_AT_A_TIME,
    Stopped,
    draw,
    hear_those_waiting,
    put,
    put_none,
    read,
    values,
    why_not,
)
from sideshake.web.rehearing.asked import RehearingAsked

AT_ONCE = 500


def begin(asked: RehearingAsked, by: User | None) -> Rehearing:
    """Return a run, written down with a row for each of its readings; nothing is heard yet.

    Raises
    ------
    InputError : nothing is to be heard
    """
    readings = list(asked.chosen().select_related("recording").order_by("pk"))
    reasons = {reading.pk: why_left(reading) for reading in readings}
    if all(reasons.values()):
        raise InputError(asked.nothing_to_hear(set(reasons.values())))
    with transaction.atomic():
        run = Rehearing.objects.create(
            scope=asked.scope, of=asked.of[:200], by=by, program=PROGRAM, ear=EAR
        )
        Earlier.objects.bulk_create(
            (row_of(run, each, left=reasons[each.pk]) for each in readings), batch_size=AT_ONCE
        )
    return run


def why_left(reading: Reading) -> str:
    """Return why a reading cannot be heard again; empty when it can."""
    if reading.state == LIVE:
        return _("it is still being listened to")
    if reading.state == WAITING:
        return _("it waits to be heard anyway")
    if reading.recording is None:
        return _("no recording of it is kept, or it was typed in")
    return ""


def row_of(run: Rehearing, reading: Reading, *, left: str) -> Earlier:
    """Return the row of a reading in a run, with what it says now."""
    return Earlier(
        run=run, reading=reading, fate=Fate.LEFT if left else Fate.WAITING, why=left,
        sentence=said_by(reading), program=reading.program, ear=reading.ear,
    )  # fmt: skip


def said_by(reading: Reading) -> str:
    """Return what a reading says, or why it says nothing."""
    return reading.sentence or reading.no_reading


def hear_soon(run: Rehearing) -> None:
    """Hear a short run now, a long one in the background."""
    rows = waiting_rows().filter(run=run)
    if sum(row.reading.recording.duration_s for row in rows if row.reading.recording) <= AT_ONCE_S:
        for _row in hear_run(run):
            pass
    else:
        threading.Thread(target=go_on, name="hearing again", daemon=True).start()


def waiting_rows() -> QuerySet[Earlier]:
    """Return the rows that wait, in their order, with all that hearing needs."""
    rows = Earlier.objects.filter(fate=Fate.WAITING).order_by("pk")
    return rows.select_related("run__by", "reading__visit__watch__owner", "reading__recording")


def hear_run(run: Rehearing) -> Iterator[Earlier]:
    """Yield each reading of a run once it is heard again or left; each is read when its turn comes.

    Nobody else goes on with it meanwhile unless the workshop is opened: what one has written, the
    other leaves.
    """
    for pk in list(waiting_rows().filter(run=run).values_list("pk", flat=True)):
        row = waiting_rows().filter(pk=pk).first()
        if row is not None:
            rehear(row)
            yield row


def go_on(closing: threading.Event | None = None) -> None:
    """Hear what runs have left, one after the other, until the workshop closes.

    The server starts this too: a run goes on where it was when the workshop was killed.
    """
    try:
        while hear_one(closing):
            pass
    finally:
        close_old_connections()


def hear_one(closing: threading.Event | None) -> bool:
    """Return whether one more was heard again; recordings that nobody has heard yet come first."""
    with ONE_AT_A_TIME:
        hear_those_waiting(closing)
        row = waiting_rows().first()
        if row is None or is_set(closing):
            return False
        rehear(row, closing)
        return True


def is_set(closing: threading.Event | None) -> bool:
    """Return whether the workshop closes."""
    return closing is not None and closing.is_set()


def given_up(row: Earlier, closing: threading.Event | None) -> bool:
    """Return whether the run was stopped, or the workshop closes."""
    return is_set(closing) or not Earlier.objects.filter(pk=row.pk, fate=Fate.WAITING).exists()


def rehear(row: Earlier, closing: threading.Event | None = None) -> None:
    """Hear one reading again, or leave it as it was and say why; cut off, it waits on."""
    reading, heard = row.reading, None
    busy = why_left(reading)
    if busy:
        leave(row, Fate.LEFT, busy)
        return
    keep(row)
    try:
        heard = read(reading, partial(given_up, row, closing))
        put(reading, heard)
        reading.state, reading.no_reading = HEARD, ""
    except Stopped:
        return
    except InputError as fault:
        leave(row, Fate.FAULT, fault_words(reading, fault))
        return
    except NotEnough as fault:
        put_none(reading, fault)
    if renew(row) and heard and reading.recording and reading.recording.duration_s > AT_ONCE_S:
        draw(reading, heard)


def keep(row: Earlier) -> None:
    """Write into a row what its reading says until now."""
    reading = row.reading
    row.sentence, row.program, row.ear = said_by(reading), reading.program, reading.ear
    row.figures = {name: plain(value) for name, value in values(reading).items()}


def fault_words(reading: Reading, fault: InputError) -> str:
    """Return why a recording could not be heard; where it lies is nobody's business."""
    why = why_not(fault)
    return why.rpartition(f"{reading.recording.stored}: ")[2] if reading.recording else why


def leave(row: Earlier, fate: Fate, why: str) -> None:
    """Write down that a reading was left as it was, and why."""
    with transaction.atomic():
        if Earlier.objects.filter(pk=row.pk, fate=Fate.WAITING).update(fate=fate, why=why[:300]):
            row.fate, row.why = fate, why[:300]
        end_if_done(row.run)


def renew(row: Earlier) -> bool:
    """Return whether a reading's new figures were written, and the earlier ones kept."""
    reading = row.reading
    reading.heard_at = timezone.now()
    with transaction.atomic():
        hold_visits([reading.visit_id])
        waits = held(Earlier.objects.filter(pk=row.pk, fate=Fate.WAITING))
        if waits.first() is None:
            return False
        try:
            save(reading, row.run.by, what=history_words(row))
        except EditConflict:
            leave(row, Fate.LEFT, _("somebody changed it meanwhile"))
            return False
        row.fate = Fate.HEARD if reading.state == HEARD else Fate.SILENT
        row.now, row.heard_at = said_by(reading), reading.heard_at
        row.save()
        end_if_done(row.run)
    return True


def history_words(row: Earlier) -> str:
    """Return what the history tells of a reading heard again."""
    told = _("heard again by %(who)s, before by %(before)s") % {
        "who": row.reading.heard_by,
        "before": row.heard_by,
    }
    if row.reading.visit.step not in ENDED:
        return told
    return _("%(told)s; papers printed before say the earlier figures") % {"told": told}


def end_if_done(run: Rehearing) -> None:
    """Write down that a run has ended, if nothing in it waits any more."""
    if not run.readings.filter(fate=Fate.WAITING).exists():
        Rehearing.objects.filter(pk=run.pk, ended_at=None).update(ended_at=timezone.now())


@transaction.atomic
def stop(run: Rehearing) -> None:
    """Stop a run: what is heard again stays so, the rest stays as it was."""
    waiting = run.readings.filter(fate=Fate.WAITING)
    stopped = bool(waiting.update(fate=Fate.LEFT, why=_("stopped before its turn")))
    Rehearing.objects.filter(pk=run.pk, ended_at=None).update(
        ended_at=timezone.now(), stopped=stopped
    )
