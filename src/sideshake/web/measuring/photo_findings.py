"""What a photograph told, noted at a finding once somebody says yes, with the photograph."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction

from sideshake.web.base.holding import hold_visits
from sideshake.web.base.saving import save
from sideshake.web.evidence.look_over import finding_not_stored
from sideshake.web.models import Finding, Photograph, Severity, User
from sideshake.workshop_rules.findings import BY_KEY


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferedFinding:
    """A finding that a photograph shows: which usual one, and one line of words.

    A line that begins with the same `head` gives way: it was told of another photograph before.
    With a `title` it is a finding apart from others of its key; without, there is one of each key.
    """

    key: str
    head: str
    line: str
    title: str = ""
    severity: Severity = Severity.WORN

    @property
    def called(self) -> str:
        """Return what the finding is called where it is not noted yet."""
        return self.title or BY_KEY[self.key].title

    @property
    def detail_line(self) -> str:
        """Return the line as it is noted."""
        return f"{self.head} {self.line}"


def standing(rows: Iterable[Finding], offered: OfferedFinding) -> Finding | None:
    """Return the finding that is noted already: by its title, or as the list of usual ones has it.

    One of the list counts as long as nobody has written on it.
    """
    same = [row for row in rows if row.key == offered.key]
    if not offered.title:
        return next(iter(same), None)
    named = [row for row in same if row.title == offered.title[:160]]
    bare = [
        row
        for row in same
        if row.title == BY_KEY[offered.key].title and not row.detail and not row.photograph_id
    ]
    return next(iter([*named, *bare]), None)


@transaction.atomic
def note_finding(row: Photograph, offered: OfferedFinding, by: User, *, seen: int) -> Finding:
    """Return the finding with what the photograph told in its words, and the photograph tied to it.

    Parameters
    ----------
    seen : the version of the finding that the person saw; 0 where none was shown

    Raises
    ------
    Overtaken : somebody else has noted or changed it meanwhile
    """
    hold_visits([row.visit_id])
    here = Finding.objects.filter(visit=row.visit, key=offered.key)
    stored = standing(here, offered)
    record = stored or finding_not_stored(row.visit, BY_KEY[offered.key], offered.severity)
    record.title = offered.title[:160] or record.title
    record.detail = with_line(record.detail, offered)
    record.photograph = row
    save(record, by, seen=seen if stored else None)
    return record


def with_line(detail: str, offered: OfferedFinding) -> str:
    """Return the words of a finding with a line of what was measured; other words stay."""
    own = [line for line in detail.splitlines() if not line.startswith(offered.head)]
    return "\n".join([*own, offered.detail_line]).strip()
