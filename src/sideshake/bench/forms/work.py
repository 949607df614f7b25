"""Forms for the plan, the tests, the drawer and outwork."""

from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.bench.forms.numbers import MoneyField, NumberField
from sideshake.bench.forms.record_form import RecordForm
from sideshake.bench.forms.records import day_widget
from sideshake.bench.models import Batch, Item, JewelOrder, Outwork, PlanStep, Used
from sideshake.bench.sheets import sheet_names
from sideshake.fit.materials import MATERIALS
from sideshake.quantities import COVERAGE_FACTOR


class SizeField(NumberField):
    """A measured number above zero, with a comma or a point; kept as a float."""

    def to_python(self, value: Any) -> Any:
        """Return the number as a float, None when nothing was written."""
        number = super().to_python(value)
        if number is not None and number <= 0:
            raise forms.ValidationError(_("It must be above zero."))
        return None if number is None else float(number)


class ValueField(NumberField):
    """A measured value of either sign, kept as a float."""

    def to_python(self, value: Any) -> Any:
        """Return the number as a float, None when nothing was written."""
        number = super().to_python(value)
        return None if number is None else float(number)


class WithinField(ValueField):
    """The half-width of a 95 % interval, as it is printed; kept as the standard uncertainty."""

    def to_python(self, value: Any) -> Any:
        """Return the standard uncertainty as a float, None when nothing was written."""
        within = super().to_python(value)
        return None if within is None else within / COVERAGE_FACTOR

    def prepare_value(self, value: Any) -> Any:
        """Return what is kept as it is printed; what was typed stays."""
        if isinstance(value, float):
            return f"{COVERAGE_FACTOR * value:.6g}"
        return super().prepare_value(value)


class StepForm(RecordForm):
    """What was done at one step."""

    class Meta:
        model = PlanStep
        fields = ("title", "minutes", "planned_minutes", "note")
        labels = {"planned_minutes": gettext_lazy("Planned minutes")}
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}


class OwnStepForm(RecordForm):
    """A step of one's own."""

    class Meta:
        model = PlanStep
        fields = ("title", "planned_minutes", "how")
        labels = {"planned_minutes": gettext_lazy("Planned minutes")}
        widgets = {"how": forms.Textarea(attrs={"rows": 3})}


class HomeTestForm(RecordForm):
    """The result of a test; value and uncertainty only where something is measured."""

    value = ValueField(label=gettext_lazy("Value"), required=False)
    u = WithinField(
        label=gettext_lazy("± (95 % interval)"),
        required=False,
        help_text=gettext_lazy("as the readings show it"),
    )

    class Meta:
        model = PlanStep
        fields = ("value", "u", "result", "note")
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Ask for a value only where the test has a unit."""
        super().__init__(*args, **kwargs)
        if self.instance.unit:
            label = _("Value, %(unit)s") % {"unit": self.instance.unit}
            self.fields["value"].label = label
        else:
            del self.fields["value"], self.fields["u"]

    def clean(self) -> dict[str, Any]:
        """Refuse an uncertainty below zero or without a value, and leaving out without a reason."""
        cleaned: dict[str, Any] = super().clean() or {}
        u = cleaned.get("u")
        if u is not None and u < 0:
            self.add_error("u", _("An uncertainty is 0 or more."))
        if u is not None and cleaned.get("value") is None:
            self.add_error("value", _("There is an uncertainty and no value."))
        if cleaned.get("result") == PlanStep.Result.SKIPPED and not cleaned.get("note"):
            self.add_error("note", _("Say why the test is left out."))
        return cleaned


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


class DayForm(forms.Form):
    """One day."""

    on = forms.DateField(label=gettext_lazy("On"), widget=day_widget())
