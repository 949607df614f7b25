"""Showing a visit's story to others: the owner's consent, and what was made of it."""

from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.documents.public_story import PublicStory, parts_of
from sideshake.web.base.saving import save, tell
from sideshake.web.models import User, Visit


def has_agreed(visit: Visit) -> bool:
    """Whether the owner has agreed that the visit's story may be shown, and it is known how."""
    return visit.show_agreed_on is not None and bool(visit.show_agreed_how.strip())


def require_agreed(visit: Visit) -> None:
    """Refuse to show a visit whose owner has not agreed, or does not any more.

    Raises
    ------
    InputError : no consent is recorded
    """
    if not has_agreed(visit):
        raise InputError(
            _("the owner has not agreed that this visit is shown; record the day and how first")
        )


def agree(visit: Visit, by: User, *, seen: int | None = None) -> None:
    """Record the owner's consent."""
    save(visit, by, seen=seen, what=_("the owner agreed that the story may be shown"))


def withdraw(visit: Visit, by: User, *, seen: int | None = None) -> None:
    """Record that the owner does not agree any more; no page is made from now on."""
    visit.show_agreed_on, visit.show_agreed_how = None, ""
    save(visit, by, seen=seen, what=_("the owner does not agree any more that it is shown"))


def note_shown(visit: Visit, by: User | None, shown: PublicStory, *, sha256: str) -> None:
    """Write into the history that a page to show was made, and every word that stands on it."""
    words = "\n\n".join(text for _part, text in parts_of(shown) if text.strip())
    told = _("page to show made with %(n)d photographs; its archive has SHA-256 %(sha)s")
    tell(visit, by, told % {"n": len(shown.pictures), "sha": sha256}, {"page": [None, words]})
