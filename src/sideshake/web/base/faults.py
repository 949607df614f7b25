"""Faults of the disk and the database in words, for pages that need neither of them."""

import errno
import logging
from dataclasses import dataclass

from django.db import DatabaseError, InterfaceError, OperationalError
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from sideshake.core.errors import first_line
from sideshake.storage.files import NO_ROOM

NO_ROOM_WORDS = _(
    "There is no room left on the disk. What was answered as saved before is safe; this was not "
    "written. Make room, then send it again."
)
READ_ONLY_WORDS = _(
    "The workshop's folder can only be read, so nothing was written. Whoever looks after this "
    "computer can allow writing there, or make the disk writable again."
)
FAILING_WORDS = _(
    "The disk cannot be read or written; it may be failing. Nothing was written. Make a backup "
    "onto another disk now."
)
GONE_WORDS = _(
    "A file that belongs to this page is not in the data folder any more; a backup has it."
)
BUSY_WORDS = _("Somebody else is writing just now. Nothing of this was written; send it again.")
DAMAGED_WORDS = _(
    "The database is damaged. Nothing was written. Close the workshop and open it again: it then "
    "names the newest good backup and how to bring it back."
)
UNREACHED_WORDS = _(
    "The database cannot be reached, so nothing was written. What was answered as saved before is "
    "safe where it lies. Try again in a moment; if this stays, see that the database runs."
)
UNAVAILABLE, NO_STORAGE, NOT_FOUND = 503, 507, 404
"""RFC 9110, 15.6.4 and 15.5.5; RFC 4918, 11.5."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultTold:
    """A fault as a page tells it."""

    words: str | Promise
    status: int


BY_ERRNO: dict[int, FaultTold] = {
    **dict.fromkeys(NO_ROOM, FaultTold(words=NO_ROOM_WORDS, status=NO_STORAGE)),
    **dict.fromkeys(
        (errno.EROFS, errno.EACCES, errno.EPERM),
        FaultTold(words=READ_ONLY_WORDS, status=UNAVAILABLE),
    ),
    errno.EIO: FaultTold(words=FAILING_WORDS, status=UNAVAILABLE),
    errno.ENOENT: FaultTold(words=GONE_WORDS, status=NOT_FOUND),
}
BY_WORDS: dict[str, FaultTold] = {
    "full": FaultTold(words=NO_ROOM_WORDS, status=NO_STORAGE),
    "no space left": FaultTold(words=NO_ROOM_WORDS, status=NO_STORAGE),
    "readonly": FaultTold(words=READ_ONLY_WORDS, status=UNAVAILABLE),
    "read-only": FaultTold(words=READ_ONLY_WORDS, status=UNAVAILABLE),
    "disk i/o": FaultTold(words=FAILING_WORDS, status=UNAVAILABLE),
    "locked": FaultTold(words=BUSY_WORDS, status=UNAVAILABLE),
    "malformed": FaultTold(words=DAMAGED_WORDS, status=UNAVAILABLE),
    "not a database": FaultTold(words=DAMAGED_WORDS, status=UNAVAILABLE),
    "no such table": FaultTold(words=DAMAGED_WORDS, status=UNAVAILABLE),
}
"""By what SQLite and PostgreSQL say (sqlite.org/rescode.html; PostgreSQL, appendix A)."""


def told(fault: BaseException | None) -> FaultTold | None:
    """Return a fault of disk or database in words; None for every other."""
    if isinstance(fault, OperationalError | InterfaceError) or type(fault) is DatabaseError:
        said = str(fault).lower()
        known = (each for words, each in BY_WORDS.items() if words in said)
        return next(known, FaultTold(words=UNREACHED_WORDS, status=UNAVAILABLE))
    if isinstance(fault, OSError):
        return BY_ERRNO.get(fault.errno or 0)
    return None


def shorten(record: logging.LogRecord) -> bool:
    """Let a fault that its page tells in words be one line in the terminal, without its trace."""
    fault = record.exc_info[1] if record.exc_info else None
    if told(fault) is not None and fault is not None:
        record.exc_info, record.exc_text = None, None
        record.msg, record.args = "%s (%s)", (record.getMessage(), first_line(fault))
    return True
