"""Forms for the drawer."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.web.base.day_field import day_widget
from sideshake.web.base.number_fields import MoneyField
from sideshake.web.base.record_form import RecordForm
from sideshake.web.base.size_fields import SizeField, ValueField
from sideshake.web.calibres.sheets import sheet_names
from sideshake.web.models import Batch, Item, Used


class ItemForm(RecordForm):
    """A kind of piece in the drawer."""

    hole_mm = SizeField(label=gettext_lazy("Hole, mm"), required=False)
    outside_mm = SizeField(label=gettext_lazy("Outside, mm"), required=False)
    thickness_mm = SizeField(label=gettext_lazy("Thickness, mm"), required=False)

    class Meta:
        model = Item
        fields = (
            "kind", "name", "place", "hole_mm", "outside_mm", "thickness_mm", "calibre", "low_at",
            "note",
        )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the calibre sheets at hand while the name is typed."""
        super().__init__(*args, **kwargs)
        self.fields["calibre"].widget.attrs["list"] = "calibres"
        self.calibres = sheet_names()

    def clean(self) -> dict[str, Any]:
        """Refuse a hole that is not smaller than its jewel."""
        cleaned: dict[str, Any] = super().clean() or {}
        require_hole_inside(self, cleaned)
        return cleaned


def require_hole_inside(form: forms.BaseForm, cleaned: dict[str, Any]) -> None:
    """Add an error when the hole is not smaller than the outside."""
    hole, outside = cleaned.get("hole_mm"), cleaned.get("outside_mm")
    if hole and outside and hole >= outside:
        form.add_error("hole_mm", _("The hole must be smaller than the outside."))


class BatchForm(RecordForm):
    """A delivery, without what it cost."""

    class Meta:
        model = Batch
        fields: tuple[str, ...] = ("label", "supplier", "origin", "received_on", "quantity")
        widgets = {"received_on": day_widget()}

    def clean_quantity(self) -> int:
        """Refuse an empty delivery."""
        quantity = int(self.cleaned_data["quantity"])
        if quantity < 1:
            raise forms.ValidationError(_("A batch holds at least one piece."))
        return quantity


class PricedBatchForm(BatchForm):
    """A delivery with what each piece cost."""

    cost = MoneyField(label=gettext_lazy("Cost each"), required=False)

    class Meta(BatchForm.Meta):
        fields = (*BatchForm.Meta.fields, "cost")


class UsedForm(RecordForm):
    """A piece that went into a watch."""

    class Meta:
        model = Used
        fields = ("quantity", "on", "old_part", "note")
        widgets = {"on": day_widget()}


class WishForm(forms.Form):
    """The sizes of a jewel that is sought in the drawer."""

    hole = SizeField(label=gettext_lazy("Hole, mm"), required=False)
    outside = SizeField(label=gettext_lazy("Outside, mm"), required=False)
    thickness = SizeField(label=gettext_lazy("Thickness, mm"), required=False)
    within = ValueField(label=gettext_lazy("Hole and outside within, mm"), required=False)
    thickness_within = ValueField(label=gettext_lazy("Thickness within, mm"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Write labels as our forms do."""
        super().__init__(*args, **kwargs)
        self.label_suffix = ""

    def clean(self) -> dict[str, Any]:
        """Refuse a search for any size, and a tolerance below zero."""
        cleaned: dict[str, Any] = super().clean() or {}
        sizes = ("hole", "outside", "thickness")
        if not self.errors and all(cleaned.get(each) is None for each in sizes):
            self.add_error("hole", _("Give at least one size."))
        for name in ("within", "thickness_within"):
            if (cleaned.get(name) or 0) < 0:
                self.add_error(name, _("It is 0 or more."))
        return cleaned
