"""Those who work here."""

from django.contrib.auth.models import AbstractUser
from django.db import models
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    """What somebody may do."""

    OWNER = "owner", _("owner of the workshop")
    COLLEAGUE = "colleague", _("colleague")
    APPRENTICE = "apprentice", _("apprentice")


class User(AbstractUser):
    """Somebody who works here."""

    role = models.CharField(_("role"), max_length=12, choices=Role, default=Role.APPRENTICE)

    @property
    def may_price(self) -> bool:
        """Whether prices, proposals and money are this person's business."""
        return self.role in (Role.OWNER, Role.COLLEAGUE)

    @property
    def may_run(self) -> bool:
        """Whether this person decides about the workshop: people, wording, taxes, backups."""
        return self.role == Role.OWNER

    @property
    def on_paper(self) -> str:
        """Return the name for an owner's paper; empty where there is but a role to sign in with.

        On such a paper "owner" is who owns the watch.
        """
        words = {word.casefold() for word in self.username.split()}
        named = "" if words & set(Role.values) else self.username
        return self.get_full_name() or named

    def __str__(self) -> str:
        return self.get_full_name() or self.username


class SignInLink(models.Model):
    """A link that signs somebody in once. Only the token's digest is kept."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="links")
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)
    used_at = models.DateTimeField(null=True)
