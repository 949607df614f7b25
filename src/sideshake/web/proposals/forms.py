"""Forms for proposals."""

from typing import Any, cast

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.day_field import day_widget
from sideshake.web.base.number_fields import MoneyField
from sideshake.web.base.record_form import RecordForm, overtaken_words
from sideshake.web.base.saving import EditConflict
from sideshake.web.base.version_field import SeenField
from sideshake.web.models import AnswerChannel, Option, Proposal
from sideshake.web.proposals.rights_fields import offer_form, offer_rights


class ProposalForm(RecordForm):
    """What stands round the options."""

    deposit = MoneyField(label=_("deposit"), required=False)

    class Meta:
        model = Proposal
        fields = ("intro", "weeks", "deposit", "expires_on", "withdrawal", "withdrawal_form",
                  "guarantee")  # fmt: skip
        widgets = {"intro": forms.Textarea(attrs={"rows": 3}), "expires_on": day_widget()}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the customer's rights of which the workshop has words."""
        super().__init__(*args, **kwargs)
        offer_rights(self.fields)
        offer_form(self.fields, self.instance.visit.watch.owner)


class OptionForm(RecordForm):
    """One option in words."""

    class Meta:
        model = Option
        fields = ("title", "reason", "evidence", "photograph", "risk", "if_left", "need",
                  "instead_of")  # fmt: skip
        widgets = {
            name: forms.Textarea(attrs={"rows": 3})
            for name in ("reason", "evidence", "risk", "if_left")
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the photographs of the same visit only."""
        super().__init__(*args, **kwargs)
        photographs: Any = self.fields["photograph"]
        photographs.queryset = self.instance.proposal.visit.photographs.all()
        others = self.instance.proposal.options.exclude(pk=self.instance.pk)
        places = [(each.key, each.title) for each in others if each.key and not each.instead_of]
        self.fields["instead_of"] = forms.ChoiceField(
            label=_("takes the place of"),
            required=False,
            choices=[("", _("no other: it stands by itself")), *places],
            initial=self.instance.instead_of,
            help_text=_("of two such options the owner can choose only one"),
        )

    def clean_instead_of(self) -> str:
        """Refuse to take a place while another option takes this one's."""
        place: str = self.cleaned_data["instead_of"]
        own = self.instance.key
        if place and own and self.instance.proposal.options.filter(instead_of=own).exists():
            raise forms.ValidationError(_("Another option takes this one's place already."))
        return place


class AnswerForm(forms.Form):
    """The owner's answer."""

    seen = SeenField()
    answered_on = forms.DateField(label=_("answered on"), widget=day_widget())
    channel = forms.ChoiceField(label=_("answered by"), choices=AnswerChannel.choices)
    answer = forms.CharField(
        label=_("the owner's words"),
        required=False,
        widget=forms.Textarea({"rows": 3}),
        help_text=_("when the owner declines: why"),
    )

    def show_overtaken(self, overtaken: EditConflict, *, now: int) -> None:
        """Say who was quicker; sending once more answers what is stored `now`, knowingly."""
        self.add_error(None, overtaken_words(overtaken))
        again = cast(QueryDict, self.data).copy()
        again["seen"] = str(now)
        self.data = again
