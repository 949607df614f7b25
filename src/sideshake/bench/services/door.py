"""Who comes in: one-time links, and a growing wait after wrong passwords."""

import hashlib
import secrets
import time
from datetime import timedelta

from django.core.cache import cache
from django.db import transaction
from django.utils import timezone

from sideshake.bench.models import SignInLink, User

LINK_HOLDS = timedelta(minutes=15)
FREE_TRIES = 5
FIRST_WAIT_S = 15.0
LONGEST_WAIT_S = 300.0
FORGOTTEN_AFTER_S = 3600


def new_link(user: User) -> str:
    """Return the token of a new link; only its digest is kept, and links too old are dropped."""
    SignInLink.objects.filter(made_at__lt=timezone.now() - LINK_HOLDS).delete()
    token = secrets.token_urlsafe(32)
    SignInLink.objects.create(user=user, digest=digest(token))
    return token


@transaction.atomic
def user_of_link(token: str) -> User | None:
    """Return whom a link signs in, and use it up; None when it was used or is too old."""
    link = (
        SignInLink.objects.select_for_update()
        .filter(digest=digest(token), used_at=None, made_at__gte=timezone.now() - LINK_HOLDS)
        .first()
    )
    if link is None:
        return None
    link.used_at = timezone.now()
    link.save()
    return link.user if link.user.is_active else None


def digest(token: str) -> str:
    """Return what is kept of a token."""
    return hashlib.sha256(token.encode()).hexdigest()


def wait_s(name: str) -> float:
    """Return how long this name has to wait before the next try, in seconds; 0 when it need not.

    Five tries are free; then the wait doubles from 15 s to five minutes and never becomes longer,
    so nobody can lock somebody out for good. The one-time link always works.
    """
    tries, last_s = cache.get(key_of(name), (0, 0.0))
    if tries < FREE_TRIES:
        return 0.0
    wait: float = min(FIRST_WAIT_S * 2.0 ** min(tries - FREE_TRIES, 10), LONGEST_WAIT_S)
    return max(0.0, float(last_s) + wait - time.time())


def note_failure(name: str) -> None:
    """Remember a wrong password for an hour."""
    tries, _last_s = cache.get(key_of(name), (0, 0.0))
    cache.set(key_of(name), (tries + 1, time.time()), FORGOTTEN_AFTER_S)


def forget_failures(name: str) -> None:
    """Forget wrong passwords, since the right one came."""
    cache.delete(key_of(name))


def key_of(name: str) -> str:
    """Return under what the tries of a name are kept."""
    return f"tries-{digest(name.casefold())}"
