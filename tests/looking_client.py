"""A browser that has just looked: what it sends tells the version that is stored now.

Every form that changes a record holds its version as `seen`; without it nothing is changed
(tests/web/test_version_seen.py). Tests that are about something else need not write it.
"""

from django.apps import apps
from django.test import Client

from sideshake.web.models import Proposal, Visit, Workshop, the_workshop
from sideshake.web.proposals.answering import version_with_options

TABLES = {
    "findings": "finding", "photographs": "photograph", "readings": "reading", "plan": "planstep",
    "tests": "planstep", "options": "option", "payments": "payment", "rounds": "round",
    "programmes": "programme", "drawer": "item", "batches": "batch", "used": "used",
    "outwork": "outwork", "owners": "owner", "watches": "watch",
}  # fmt: skip
"""By the first part of an address, whose key its second part is."""


class Looking(Client):
    """A client that adds `seen` where a form would have it and the test does not tell."""

    def post(self, path, data=None, *args, **options):
        told = data is None or (isinstance(data, dict) and "seen" not in data)
        version = version_at(path) if told else None
        if version is not None and "content_type" not in options:
            data = {**(data or {}), "seen": version}
        return super().post(path, data, *args, **options)


def version_at(path):
    """Return the version that a form at an address would hold; None if it holds none."""
    room, *rest = path.partition("?")[0].strip("/").split("/")
    if room == "settings":
        the_workshop()  # the first page anybody sees makes its row
        return versions(Workshop.objects.all())
    if room == "visits" and len(rest) > 1:
        return version_in_visit(*rest)
    key = [part for part in rest if part.isdecimal()]
    if room not in TABLES or not key:
        return None
    batch = room == "drawer" and "batches" in rest and len(key) > 1
    table = apps.get_model("bench", "batch" if batch else TABLES[room])
    return versions(table.objects.filter(pk=key[1 if batch else 0]))


def version_in_visit(number, what, *rest):
    visits = Visit.objects.filter(number=number)
    if what in ("look-over", "measure", "listen"):
        return None
    if what == "invoice":
        return visits.get().invoices.count() if visits else None
    if what == "proposal" and rest[1:] == ("answer",):
        sent = Proposal.objects.filter(visit__number=number, edition=rest[0]).first()
        return version_with_options(sent) if sent else None
    if what == "proposal" and rest and rest[0].isdecimal():
        return versions(Proposal.objects.filter(visit__number=number, edition=rest[0]))
    return versions(visits)


def versions(rows):
    return rows.values_list("version", flat=True).first()
