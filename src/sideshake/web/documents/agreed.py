"""On which day and by which way an owner agreed, as invoice and report refer to it."""

from datetime import date

from sideshake.documents.withdrawal import NO_BREAK
from sideshake.web.documents.words import written_day
from sideshake.web.models import AnswerChannel, Visit
from sideshake.wording import gettext as _
from sideshake.wording import noop

AGREED_BY: dict[str, str] = {
    AnswerChannel.EMAIL: noop("by email"),
    AnswerChannel.PHONE: noop("on the telephone"),
    AnswerChannel.LETTER: noop("by letter"),
    AnswerChannel.HERE: noop("in the workshop"),
    AnswerChannel.SIGNED: noop("on signed paper"),
}


def agreed_words(visit: Visit, *, until: date) -> str:
    """Return the day and the way of the owner's yes to what holds, from rows already fetched.

    `until` : the day of the paper; an answer of a later day is not on it

    Returns
    -------
    such as "3 May 2026 by email", without the way where it is not known; empty where nothing is
    agreed or nobody wrote down when
    """
    agreed = [
        each
        for each in visit.proposals.all()
        if each.state == "agreed" and each.answered_on and each.answered_on <= until
    ]
    if not agreed:
        return ""
    newest = max(agreed, key=lambda each: each.edition)
    way = AGREED_BY.get(newest.channel)
    day = written_day(newest.answered_on)
    return f"{day} {_(way).replace(' ', NO_BREAK)}" if way else day
