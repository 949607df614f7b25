"""What all records share: a version that rises with every saving."""

from typing import Any

from django.db import models
from django.utils.translation import gettext_lazy as _


class Record(models.Model):
    """A row that several people may edit; `version` tells whether somebody else did meanwhile."""

    version = models.PositiveIntegerField(default=1, editable=False)

    UNTOLD: tuple[str, ...] = ()
    """Fields whose changes the history does not tell."""

    class Meta:
        abstract = True

    @property
    def visit_of(self) -> Any:
        """Return the visit this record belongs to, if it belongs to one."""
        return getattr(self, "visit", None)


class Step(models.TextChoices):
    """How far a visit is."""

    ARRIVED = "arrived", _("arrived")
    LOOKED_OVER = "looked-over", _("looked over")
    PROPOSED = "proposed", _("proposed")
    AGREED = "agreed", _("agreed")
    ON_THE_BENCH = "on-the-bench", _("on the bench")
    ON_TEST = "on-test", _("on test")
    READY = "ready", _("ready")
    GONE_HOME = "gone-home", _("gone home")
    DECLINED = "declined", _("declined")


ENDED = (Step.GONE_HOME, Step.DECLINED)


class Channel(models.TextChoices):
    """By what way people talk."""

    EMAIL = "email", _("email")
    PHONE = "phone", _("telephone")
    LETTER = "letter", _("letter")
    HERE = "here", _("in the workshop")


def money(**options: Any) -> "models.DecimalField[Any, Any]":
    """Return a field for an amount of money."""
    return models.DecimalField(max_digits=12, decimal_places=3, **options)
