"""What all records share: a version that rises with every saving."""

from typing import Any

from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.workshop_rules.totals import NoTax


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

    @property
    def told_apart(self) -> dict[str, str]:
        """Return what the history tells of a field that is told in parts, by their names."""
        return {}


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


class AnswerChannel(models.TextChoices):
    """By what way an owner answers a proposal."""

    EMAIL = "email", _("email")
    PHONE = "phone", _("telephone")
    LETTER = "letter", _("letter")
    HERE = "here", _("in the workshop")
    SIGNED = "signed", _("signed paper")


NO_TAX_CHOICES = [
    (NoTax.SMALL_BUSINESS.value, _("small business")),
    (NoTax.SECOND_HAND.value, _("margin scheme, second-hand goods")),
    (NoTax.WORKS_OF_ART.value, _("margin scheme, works of art")),
    (NoTax.COLLECTORS_ITEMS.value, _("margin scheme, collector's items and antiques")),
    (NoTax.EXPORT.value, _("export")),
    (NoTax.REVERSE_CHARGE.value, _("reverse charge")),
    (NoTax.OTHER.value, _("for the reason in our own wording")),
]


def no_tax(**options: Any) -> "models.CharField[Any, Any]":
    """Return a field for the reason why no tax is charged."""
    return models.CharField(max_length=20, choices=NO_TAX_CHOICES, blank=True, **options)


def money(**options: Any) -> "models.DecimalField[Any, Any]":
    """Return a field for an amount of money."""
    return models.DecimalField(max_digits=12, decimal_places=3, **options)


def money_fields(table: type[models.Model]) -> frozenset[str]:
    """Return the names of a table's amounts of money: those that `money` made.

    They are for those who price; no page shows them to an apprentice.
    """
    usual = money()
    return frozenset(
        each.name
        for each in table._meta.concrete_fields
        if isinstance(each, models.DecimalField)
        and (each.max_digits, each.decimal_places) == (usual.max_digits, usual.decimal_places)
    )
