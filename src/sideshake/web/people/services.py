"""Those who work here: written with a line in the history, and never without an owner."""

from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.web.base.holding import held
from sideshake.web.base.saving import require_texts
from sideshake.web.models import Change, Role, User


@transaction.atomic
def save_person(person: User, by: User | None) -> None:
    """Write a person; a new one has no password until one is set.

    Raises
    ------
    InputError : the workshop would be without an active owner, or a name is not one line
    """
    require_texts(person, ("username", "first_name", "last_name"))
    others = held(User.objects.filter(role=Role.OWNER, is_active=True))
    stays = person.role == Role.OWNER and person.is_active
    if not stays and not others.exclude(pk=person.pk).exists():
        raise InputError(
            _(
                "this is the last active owner of the workshop; make somebody else owner first, "
                "then change this"
            )
        )
    new = person.pk is None
    if new:
        person.set_unusable_password()
    person.save()
    tell_of(person, by, f"added {person}" if new else f"changed {person}: {person.role}")


@transaction.atomic
def set_password(person: User, password: str, by: User | None) -> None:
    """Give a person a password; who else is signed in under the name has to sign in anew."""
    person.set_password(password)
    person.save(update_fields=["password"])
    tell_of(person, by, f"a new password for {person}")


def tell_of(person: User, by: User | None, what: str) -> None:
    """Add a line about a person to the history."""
    Change.objects.create(by=by, kind="user", row=person.pk, what=what[:200])
