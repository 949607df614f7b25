"""Owners and their watches."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import Channel, Record
from sideshake.wording import Language


class WrittenLanguage(models.TextChoices):
    """What an owner's papers are written in; each language by its own name."""

    ENGLISH = Language.ENGLISH.value, _("English")
    GERMAN = Language.GERMAN.value, _("Deutsch")
    FRENCH = Language.FRENCH.value, _("français")


class Owner(Record):
    """Somebody whose watch comes here."""

    name = models.CharField(_("name"), max_length=160)
    address = models.TextField(_("address"), blank=True)
    country = models.CharField(_("country"), max_length=60, blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("email"), blank=True)
    tax_number = models.CharField(_("VAT number"), max_length=40, blank=True)
    prefers = models.CharField(
        _("likes to be reached by"), max_length=10, choices=Channel, default=Channel.EMAIL
    )
    language = models.CharField(
        _("is written to in"),
        max_length=2,
        choices=WrittenLanguage,
        default=WrittenLanguage.ENGLISH,
        help_text=_("the language of his papers"),
    )
    heard_of_us = models.CharField(_("how they heard of us"), max_length=160, blank=True)
    note = models.TextField(_("note"), blank=True)
    since = models.DateField(_("owner here since"), auto_now_add=True)
    erased_on = models.DateField(_("erased on"), null=True, blank=True, editable=False)
    """From then on there is nothing here but what the law wants kept."""

    class Meta:
        ordering = ("name", "id")
        indexes = (models.Index(fields=("name",)),)

    def __str__(self) -> str:
        return self.name


class Lume(models.TextChoices):
    """The luminous paint, as seen."""

    NONE = "none", _("none")
    DEAD = "dead", _("there, glows no more")
    GLOWS = "glows", _("glows after light")
    ALWAYS = "always", _("glows by itself in the dark")
    UNKNOWN = "unknown", _("not looked at yet")


class Watch(Record):
    """A watch, described by what is seen and not by what it is said to be."""

    owner = models.ForeignKey(
        Owner, on_delete=models.PROTECT, related_name="watches", verbose_name=_("owner")
    )
    title = models.CharField(
        _("what we call it"), max_length=120, help_text=_("such as: silver pocket watch, hunter")
    )
    dial_name = models.CharField(
        _("name on the dial"), max_length=120, blank=True, help_text=_("letter by letter")
    )
    calibre = models.CharField(
        _("calibre sheet"), max_length=80, blank=True, help_text=_("such as tarnbrook-31")
    )
    calibre_seen = models.CharField(_("marks on the movement"), max_length=120, blank=True)
    movement_serial = models.CharField(_("movement number"), max_length=60, blank=True)
    case_serial = models.CharField(_("case number"), max_length=60, blank=True)
    reference = models.CharField(_("reference"), max_length=60, blank=True)
    case_seen = models.TextField(
        _("case"),
        blank=True,
        help_text=_("metal by its colour and the hallmark as read; stones by their colour"),
    )
    dial_seen = models.TextField(_("dial and hands"), blank=True)
    lume = models.CharField(_("luminous paint"), max_length=8, choices=Lume, default=Lume.UNKNOWN)
    burn_marks = models.BooleanField(_("burn marks beside the hands"), default=False)
    t_mark = models.BooleanField(_("a T on the dial's edge"), default=False)
    year_from = models.PositiveSmallIntegerField(_("made not before"), null=True, blank=True)
    year_to = models.PositiveSmallIntegerField(_("made not after"), null=True, blank=True)
    repairers_marks = models.TextField(_("earlier repairers' marks"), blank=True)
    story = models.TextField(_("its story, in the owner's words"), blank=True)
    provenance = models.TextField(_("papers and provenance"), blank=True)
    note = models.TextField(_("note"), blank=True)

    class Meta:
        ordering = ("title", "id")
        verbose_name_plural = "watches"

    def __str__(self) -> str:
        return self.title
