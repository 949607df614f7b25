"""Who comes in: one-time links, and passwords, which may be tried only so often."""

import hashlib
import secrets
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from sideshake.web.base.holding import held
from sideshake.web.models import SignInLink, User
from sideshake.web.people.tries import FREE_BY_ADDRESS, FREE_BY_NAME, TRIES

LINK_HOLDS = timedelta(minutes=15)


def new_link(user: User) -> str:
    """Return the token of a new link; only its digest is kept, and links too old are dropped."""
    SignInLink.objects.filter(made_at__lt=timezone.now() - LINK_HOLDS).delete()
    token = secrets.token_urlsafe(32)
    SignInLink.objects.create(user=user, digest=digest(token))
    return token


@transaction.atomic
def user_of_link(token: str) -> User | None:
    """Return whom a link signs in, and use it up; None when it was used or is too old."""
    links = SignInLink.objects.filter(
        digest=digest(token), used_at=None, made_at__gte=timezone.now() - LINK_HOLDS
    )
    link = held(links).first()
    if link is None:
        return None
    link.used_at = timezone.now()
    link.save()
    return link.user if link.user.is_active else None


def digest(token: str) -> str:
    """Return what is kept of a token."""
    return hashlib.sha256(token.encode()).hexdigest()


def claim_try(name: str, address: str) -> float:
    """Return how long somebody has to wait before the next try (s); at 0 it is counted as made."""
    return TRIES.claim({name_key(name): FREE_BY_NAME, f"from {address}": FREE_BY_ADDRESS})


def was_right(name: str, address: str) -> None:
    """Forget the wrong tries, since the right password came."""
    TRIES.take_back([name_key(name), f"from {address}"])


def name_key(name: str) -> str:
    """Return under what the tries of a name are kept; a long name takes no more room."""
    return f"as {digest(name.casefold())}"
