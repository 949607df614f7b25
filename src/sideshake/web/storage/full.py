"""The last full backup: when it was made, where it went, and whether it is time for another."""

import json
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sideshake.storage.files import write_whole
from sideshake.storage.folder import made
from sideshake.web.models import Visit

NOTE = "last-full.json"
OLD = timedelta(days=30)
"""A full backup older than this is asked for again (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FullBackup:
    """A backup that somebody made: everything in one file."""

    made_at: str
    """ISO 8601, with the zone."""
    place: str
    same_disk: bool
    """Whether it lay on the disk of the workshop when it was made."""

    @property
    def age(self) -> timedelta:
        """Return how long ago that was."""
        return timezone.now() - datetime.fromisoformat(self.made_at)


def note_full(path: Path) -> FullBackup:
    """Return what is noted of a full backup that was just made."""
    folder = made(settings.BACKUPS)
    same = path.stat().st_dev == folder.stat().st_dev
    full = FullBackup(made_at=timezone.now().isoformat(), place=str(path), same_disk=same)
    write_whole(folder / NOTE, json.dumps(asdict(full)).encode())
    return full


def last_full() -> FullBackup | None:
    """Return the last full backup that was noted; None if there is none or the note is damaged."""
    try:
        full = FullBackup(**json.loads((settings.BACKUPS / NOTE).read_bytes()))
        return full if full.age >= timedelta(0) else None
    except (OSError, ValueError, TypeError):
        return None


def full_reminder() -> str:
    """Return what is to be said about the last full backup; empty when all is well.

    A workshop without a visit needs none.
    """
    full = last_full()
    if full is None:
        if not Visit.objects.exists():
            return ""
        return _("No full backup was made yet: photographs and recordings are on this disk only.")
    if full.age > OLD:
        days = full.age.days
        return ngettext(
            "The last full backup is a day old.", "The last full backup is %(days)d days old.", days
        ) % {"days": days}
    if full.same_disk:
        return _("The last full backup lies on the disk of the workshop: if it breaks, both go.")
    return ""
