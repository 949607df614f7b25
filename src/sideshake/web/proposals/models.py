"""Proposals with their options."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.models import AnswerChannel, Record, money
from sideshake.web.evidence.models import Photograph
from sideshake.web.visits.models import Visit


class Proposal(Record):
    """One version of the priced suggestion; an answered one never changes again."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="proposals")
    edition = models.PositiveIntegerField(_("version"))
    state = models.CharField(
        max_length=10,
        choices=[
            ("draft", _("being written")),
            ("sent", _("waiting for the owner")),
            ("agreed", _("agreed")),
            ("declined", _("declined")),
            ("replaced", _("replaced by a newer version")),
        ],
        default="draft",
    )
    currency = models.CharField(max_length=3)
    prices_hold_tax = models.BooleanField(default=True)
    intro = models.TextField(_("what we say first"), blank=True)
    weeks = models.PositiveIntegerField(_("the work takes, weeks"), null=True, blank=True)
    deposit = money(verbose_name=_("deposit"), null=True, blank=True)
    made_on = models.DateField(_("made on"))
    sent_on = models.DateField(_("sent on"), null=True, blank=True)
    expires_on = models.DateField(_("holds until"), null=True, blank=True)
    answered_on = models.DateField(_("answered on"), null=True, blank=True)
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    channel = models.CharField(_("answered by"), max_length=10, choices=AnswerChannel, blank=True)
    answer = models.TextField(_("the owner's words"), blank=True)
    why_changed = models.TextField(_("why this version differs"), blank=True)
    withdrawal = models.BooleanField(_("print the right of withdrawal"), default=False)
    withdrawal_form = models.BooleanField(
        _("print instructions and form of withdrawal"), default=False
    )
    """Of one that was sent: whether they were printed."""
    guarantee = models.BooleanField(_("print the statutory guarantee"), default=False)
    rights = models.TextField(_("the customer's rights"), blank=True)
    """As they were printed when it was sent; of a draft the settings have the words."""

    class Meta:
        constraints = (models.UniqueConstraint(fields=("visit", "edition"), name="one_edition"),)
        ordering = ("edition",)

    def __str__(self) -> str:
        return f"proposal {self.edition}"


class Need(models.TextChoices):
    """How much a watch asks for an option; each option says it by itself."""

    POSSIBLE = "possible", _("possible")
    ADVISED = "advised", _("advised")
    NECESSARY = "necessary", _("necessary")


class Option(Record):
    """One thing that could be done."""

    proposal = models.ForeignKey(Proposal, on_delete=models.CASCADE, related_name="options")
    place = models.PositiveIntegerField(default=0)
    key = models.CharField(max_length=60, blank=True)
    title = models.CharField(_("what would be done"), max_length=160)
    reason = models.TextField(_("why"), blank=True)
    evidence = models.TextField(_("what was measured or seen"), blank=True)
    photograph = models.ForeignKey(
        Photograph, on_delete=models.SET_NULL, null=True, blank=True, related_name="options"
    )
    risk = models.TextField(_("what can go wrong"), blank=True)
    if_left = models.TextField(_("if it is left"), blank=True)
    lines = models.JSONField(default=list, blank=True)
    """Its price: {"kind": work, part or outwork, "text", "quantity", "each", "tax_percent"};
    numbers as decimal text."""
    need = models.CharField(_("how needed"), max_length=9, choices=Need, default=Need.ADVISED)
    instead_of = models.CharField(max_length=60, blank=True)
    """The key of the option that this one takes the place of: only one of them can be chosen."""
    chosen = models.BooleanField(_("the owner wants it"), default=False)

    class Meta:
        ordering = ("place", "id")

    def __str__(self) -> str:
        return self.title

    @property
    def visit_of(self) -> Visit:
        """Return the proposal's visit."""
        return self.proposal.visit
