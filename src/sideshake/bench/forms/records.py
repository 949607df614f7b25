"""Forms for owners, watches and visits."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from sideshake.bench.forms.numbers import MoneyField
from sideshake.bench.forms.record_form import RecordForm
from sideshake.bench.forms.seen import SeenField
from sideshake.bench.models import Finding, Owner, Step, User, Visit, Watch
from sideshake.bench.models.base import money_fields
from sideshake.bench.sheets import sheet_names
from sideshake.errors import InputError
from sideshake.movement.calendar import observed


def day_widget() -> forms.DateInput:
    """Return a field in which the browser offers a calendar."""
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class OwnerForm(RecordForm):
    """Somebody whose watch comes here."""

    class Meta:
        model = Owner
        fields = (
            "name", "email", "phone", "prefers", "address", "country", "tax_number", "heard_of_us",
            "note",
        )  # fmt: skip
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "country": _("its name or two letters; empty: the workshop's own"),
            "tax_number": _("of a business, for invoices with reverse charge"),
        }


class WatchForm(RecordForm):
    """A watch as it is seen."""

    class Meta:
        model = Watch
        fields = (
            "title", "dial_name", "calibre", "calibre_seen", "movement_serial", "case_serial",
            "reference", "year_from", "year_to", "lume", "burn_marks", "t_mark", "case_seen",
            "dial_seen", "repairers_marks", "story", "provenance", "note",
        )  # fmt: skip
        widgets = {
            name: forms.Textarea(attrs={"rows": 2})
            for name in ("case_seen", "dial_seen", "repairers_marks", "provenance", "note")
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the calibre sheets at hand while the name is typed."""
        super().__init__(*args, **kwargs)
        self.fields["calibre"].widget.attrs["list"] = "calibres"
        self.calibres = sheet_names()

    def clean(self) -> dict[str, Any]:
        """Refuse years that run backwards."""
        cleaned: dict[str, Any] = super().clean() or {}
        first, last = cleaned.get("year_from"), cleaned.get("year_to")
        if first and last and first > last:
            self.add_error("year_to", _("The years run backwards."))
        return cleaned


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


class DateChangeForm(RecordForm):
    """When the date moves on this very watch, by its own hands turned forward."""

    class Meta:
        model = Visit
        fields = ("date_change_from", "date_change_until")
        widgets = {name: forms.TimeInput({"type": "time"}, format="%H:%M") for name in fields}
        help_texts = {
            "date_change_from": _(
                "The hand time at which the ring first moves or the crown meets resistance, as a "
                "time of the day, such as 22:10."
            ),
            "date_change_until": _(
                "The hand time at which it has moved and the work is free again, such as 00:20."
            ),
        }

    def clean(self) -> dict[str, Any]:
        """Refuse one time without the other, and times that cannot follow each other."""
        cleaned: dict[str, Any] = super().clean() or {}
        begins, moved = cleaned.get("date_change_from"), cleaned.get("date_change_until")
        if self.errors or (begins is None and moved is None):
            return cleaned
        if begins is None or moved is None:
            raise forms.ValidationError(_("Note both times, or neither."))
        try:
            observed(f"{begins:%H:%M}", f"{moved:%H:%M}")
        except InputError as error:
            raise forms.ValidationError(str(error)) from None
        return cleaned


class StepForm(forms.Form):
    """Where a visit goes next, and when."""

    step = forms.ChoiceField(label=_("Step"), choices=Step.choices)
    on = forms.DateField(label=_("Since"), widget=day_widget())
    why = forms.CharField(
        label=_("Why, if it was declined"), required=False, widget=forms.Textarea({"rows": 2})
    )
    seen = SeenField()


class FindingForm(RecordForm):
    """A fault seen."""

    class Meta:
        model = Finding
        fields = ("title", "detail", "part", "severity", "photograph", "mended")
        widgets = {"detail": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the photographs of the same visit only."""
        super().__init__(*args, **kwargs)
        photographs: Any = self.fields["photograph"]
        photographs.queryset = self.instance.visit.photographs.all()
