"""A process whose clock is days ahead: told before anything else is loaded.

The classes say another "now" and "today"; whatever was made by the real ones still belongs to them.
"""

import datetime
import time


def move(days: int) -> None:
    """Let `datetime`, `date` and `time.time` be so many days ahead from now on."""
    ahead = datetime.timedelta(days=days)
    real_date, real_datetime, real_time = datetime.date, datetime.datetime, time.time

    class Like(type):
        def __instancecheck__(cls, each):
            return isinstance(each, cls.__mro__[1])

        def __subclasscheck__(cls, each):
            return issubclass(each, cls.__mro__[1])

    class Date(real_date, metaclass=Like):
        @classmethod
        def today(cls):
            return real_date.today() + ahead

    class Moment(real_datetime, metaclass=Like):
        @classmethod
        def now(cls, tz=None):
            return real_datetime.now(tz) + ahead

        @classmethod
        def today(cls):
            return real_datetime.now() + ahead

    datetime.date, datetime.datetime = Date, Moment
    time.time = lambda: real_time() + ahead.total_seconds()


def paper_hashes() -> dict[str, str]:
    """Return the SHA-256 of every paper of the two visits, by kind; Django is set up."""
    from hashlib import sha256

    from sideshake.documents.kinds import CareCardSize, PaperKind
    from sideshake.web.documents.registry.requests import PaperRequest, paper_of

    asked = [(kind, "2026-001", CareCardSize.A6) for kind in PaperKind]
    asked += [(PaperKind.CARE_CARD, "2026-001", CareCardSize.CREDIT_CARD)]
    asked += [
        (kind, "2026-002", CareCardSize.A6) for kind in (PaperKind.PROPOSAL, PaperKind.JEWEL_ORDER)
    ]
    found = {}
    for kind, visit, size in asked:
        wanted = PaperRequest(
            kind=kind, visit=visit, size=size, address=f"http://bench/visits/{visit}/"
        )
        found[f"{kind} {visit} {size}"] = sha256(paper_of(wanted).data).hexdigest()
    return found
