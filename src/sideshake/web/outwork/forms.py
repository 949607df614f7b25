"""Forms for what goes out to others."""

from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.fit.materials import MATERIALS
from sideshake.web.base.day_field import day_widget
from sideshake.web.base.number_fields import MoneyField
from sideshake.web.base.record_form import RecordForm
from sideshake.web.base.size_fields import SizeField
from sideshake.web.drawer.forms import require_hole_inside
from sideshake.web.models import JewelOrder, Outwork


class OutworkForm(RecordForm):
    """Work that goes out, without what it costs us."""

    hole_mm = SizeField(label=gettext_lazy("Hole, mm"), required=False)
    outside_mm = SizeField(label=gettext_lazy("Outside, mm"), required=False)
    thickness_mm = SizeField(label=gettext_lazy("Thickness, mm"), required=False)

    class Meta:
        model = Outwork
        fields: tuple[str, ...] = (
            "what", "to", "sent_on", "due_on", "back_on", "jewel", "hole_mm", "outside_mm",
            "thickness_mm", "material", "colour", "bore", "sink", "quantity", "note",
        )  # fmt: skip
        widgets = {name: day_widget() for name in ("sent_on", "due_on", "back_on")}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer no empty material and no empty form of hole: each jewel has both."""
        super().__init__(*args, **kwargs)
        materials = cast(forms.ChoiceField, self.fields["material"])
        materials.choices = [(name, _(name)) for name in MATERIALS]
        cast(forms.ChoiceField, self.fields["bore"]).choices = Outwork.Hole.choices

    def clean(self) -> dict[str, Any]:
        """Refuse days that run backwards and a hole wider than its jewel."""
        cleaned: dict[str, Any] = super().clean() or {}
        sent, back = cleaned.get("sent_on"), cleaned.get("back_on")
        if sent and back and back < sent:
            self.add_error("back_on", _("It cannot be back before it was sent."))
        require_hole_inside(self, cleaned)
        return cleaned


class PricedOutworkForm(OutworkForm):
    """Work that goes out, with what it costs us."""

    cost = MoneyField(label=gettext_lazy("Cost to us"), required=False)

    class Meta(OutworkForm.Meta):
        fields = (*OutworkForm.Meta.fields, "cost")


class JewelOrderForm(RecordForm):
    """An order to a jewel maker."""

    class Meta:
        model = JewelOrder
        fields = ("number", "to", "ordered_on", "wanted_on", "ask", "packing", "note")
        widgets = {
            "ordered_on": day_widget(),
            "wanted_on": day_widget(),
            "packing": forms.Textarea(attrs={"rows": 2}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Ask for what its maker would telephone about; older orders may lack it."""
        super().__init__(*args, **kwargs)
        for name in ("wanted_on", "ask"):
            self.fields[name].required = True

    def clean(self) -> dict[str, Any]:
        """Refuse parts that are wanted before they are ordered."""
        cleaned: dict[str, Any] = super().clean() or {}
        ordered, wanted = cleaned.get("ordered_on"), cleaned.get("wanted_on")
        if ordered and wanted and wanted < ordered:
            self.add_error("wanted_on", _("They cannot be wanted before they are ordered."))
        return cleaned


class OrderEditForm(JewelOrderForm):
    """An order that was made; its number stays."""

    class Meta:
        model = JewelOrder
        fields = ("to", "ordered_on", "wanted_on", "ask", "packing", "note")
        widgets = JewelOrderForm.Meta.widgets


class DayForm(forms.Form):
    """One day."""

    on = forms.DateField(label=gettext_lazy("On"), widget=day_widget())
