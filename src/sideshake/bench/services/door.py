"""One-time links that sign somebody in."""

import hashlib
import secrets
from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from sideshake.bench.models import SignInLink, User

LINK_HOLDS = timedelta(minutes=15)


def new_link(user: User) -> str:
    """Return the token of a new link; only its digest is kept."""
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
