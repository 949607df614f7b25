"""Asking once before what cannot be undone, in words that say what will happen.

The page that asks sends the same request again with `sure`, the mark of the very words that were
read: when they would be others by then (another number, another sum), it asks again.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from sideshake.web.base.editing import version_seen
from sideshake.web.base.putting_aside import TAKEN_BACK
from sideshake.web.base.saving import kind_of, remove
from sideshake.web.models import KEPT, Record, Removed, User, the_workshop

Made = TypeVar("Made")
NOT_SENT_AGAIN = ("csrfmiddlewaretoken", "sure", "stay")


@dataclass(frozen=True, slots=True, kw_only=True)
class SureQuestion:
    """What is asked before something that cannot be undone."""

    title: str
    told: tuple[str, ...]
    """What will happen, a sentence each."""
    do: str
    """The words on the button that does it."""
    stay: str = ""
    """Where "no" leads; empty: back into the form as it was typed, which is sent with `stay`."""

    @property
    def mark(self) -> str:
        """Return what tells this question from every other."""
        return hashlib.sha256("\n".join((self.title, *self.told, self.do)).encode()).hexdigest()


def unsure(
    request: HttpRequest,
    question: SureQuestion,
    *,
    template: str = "base/sure.html",
    shown: dict[str, Any] | None = None,
) -> HttpResponse | None:
    """Return the page that asks; None when this very question was answered with yes."""
    answered = request.POST.get("sure", "")
    if answered == question.mark:
        return None
    sent = [
        (name, value)
        for name, values in request.POST.lists()
        for value in values
        if name not in NOT_SENT_AGAIN
    ]
    asked = {"question": question, "sent": sent, "changed": bool(answered)}
    return render(request, template, {**(shown or {}), **asked})


def tried(act: Callable[[], Made], words: Callable[[Made], SureQuestion]) -> SureQuestion:
    """Return the question about an act, worded from what it would make; nothing is written.

    Raises
    ------
    InputError : the act would be refused: then there is nothing to ask
    """
    the_workshop()  # its row, once made, is kept for a while: it must not be made and rolled back
    with transaction.atomic():
        question = words(act())
        transaction.set_rollback(True)
    return question


@dataclass(frozen=True, slots=True, kw_only=True)
class Removal:
    """How a record is removed: by what, where it leads, and what else is told."""

    done: str
    stay: str
    also: tuple[str, ...] = ()
    act: Callable[..., Removed | None] = remove
    called: str = ""
    """What it is called in the question; its kind and name when left out."""
    title: str = ""
    """What is asked, where it is not whether something is removed."""
    do: str = ""
    """The words on the button then."""
    said: str = ""
    """What is said when it is done; that it is removed when left out."""


def ask_and_remove(
    request: HttpRequest, record: Record, by: User, removal: Removal
) -> HttpResponse:
    """Ask once whether a record is to be removed; then put it aside and lead on."""
    called = removal.called or f"{kind_of(record)} “{record}”"
    question = SureQuestion(
        title=removal.title or _("Remove the %(what)s?") % {"what": called},
        told=(*removal.also, kept_words()),
        do=removal.do or _("Remove it"),
        stay=removal.stay,
    )
    page = unsure(request, question)
    if page:
        return page
    aside = removal.act(record, by, seen=version_seen(request))
    tell_removed(request, aside, removal.said or _("Removed: %(what)s.") % {"what": called})
    return redirect(removal.done)


def kept_words() -> str:
    """Return the sentence about the way back."""
    words = _("It is put aside, and can be taken back for %(days)d days at least.")
    return words % {"days": KEPT.days}


def tell_removed(request: HttpRequest, aside: Removed | None, words: str) -> None:
    """Say what was removed, with the way back beside it."""
    messages.success(request, words, extra_tags=f"{TAKEN_BACK}{aside.pk}" if aside else "")
