"""Forms for visits."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from sideshake.web.base.day_field import day_widget
from sideshake.web.base.models import money_fields
from sideshake.web.base.number_fields import MoneyField
from sideshake.web.base.record_form import RecordForm
from sideshake.web.base.version_field import SeenField
from sideshake.web.models import Step, User, Visit


class ArrivalForm(RecordForm):
    """The parcel, what is wrong, and what the owner wishes."""

    declared_value = MoneyField(label=_("Value the owner states"), required=False)
    budget_limit = MoneyField(label=_("Not more than"), required=False)

    class Meta:
        model = Visit
        fields = (
            "arrived_on", "promised_on", "complaint", "runs", "declared_value", "insured_here",
            "budget_limit", "polish", "keep", "return_old_parts", "accessories", "carrier_in",
            "tracking_in", "parcel_seen", "note",
        )  # fmt: skip
        widgets = {
            "arrived_on": day_widget(),
            "promised_on": day_widget(),
            "complaint": forms.Textarea(attrs={"rows": 3}),
            "parcel_seen": forms.Textarea(attrs={"rows": 2}),
            "note": forms.Textarea(attrs={"rows": 2}),
        }

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        """Leave what is said of money to those who price."""
        super().__init__(*args, **kwargs)
        drop_money(self, user)


class HomeForm(RecordForm):
    """The way home, and what the owner is told."""

    insured_out = MoneyField(label=_("Insured on the way for"), required=False)

    class Meta:
        model = Visit
        fields = (
            "gone_home_on", "carrier_out", "tracking_out", "insured_out", "packed",
            "warranty_until", "next_service_on", "advice",
        )  # fmt: skip
        widgets = {
            "gone_home_on": day_widget(),
            "warranty_until": day_widget(),
            "next_service_on": day_widget(),
            "packed": forms.Textarea(attrs={"rows": 2}),
        }

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        """Leave what is said of money to those who price."""
        super().__init__(*args, **kwargs)
        drop_money(self, user)


def drop_money(form: RecordForm, user: User) -> None:
    """Take every amount of money out of a form that an apprentice fills in; it stays as it is."""
    if not user.may_price:
        for name in money_fields(Visit) & set(form.fields):
            del form.fields[name]


class VisitStepForm(forms.Form):
    """Where a visit goes next, and when."""

    step = forms.ChoiceField(label=_("Step"), choices=Step.choices)
    on = forms.DateField(label=_("Since"), widget=day_widget())
    why = forms.CharField(
        label=_("Why, if it was declined"), required=False, widget=forms.Textarea({"rows": 2})
    )
    seen = SeenField()
