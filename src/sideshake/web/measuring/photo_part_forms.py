"""Forms for a wheel, a pivot and points in a photograph: what was pressed, and what it is."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.photo.hole import PhotoView
from sideshake.photo.scale import Scale
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.measuring.photo_forms import (
    CARD,
    NO_SCALE,
    SCALES,
    WHEN,
    ScaledForm,
    place,
    side_field,
    turn_field,
    view_of,
)
from sideshake.web.measuring.place_tables import bearing_tables
from sideshake.web.models import Photograph
from sideshake.workshop_rules.countable import DATE_RING, Countable, countable_wheels
from sideshake.workshop_rules.findings import BY_KEY

SCALES_OR_NONE = ((NO_SCALE, gettext_lazy("none: no millimetres")), *SCALES)
OUTSIDE, INSIDE = "outside", "inside"
TEETH = ((OUTSIDE, gettext_lazy("outside")), (INSIDE, gettext_lazy("inside, as on a date ring")))
RUBBING = ("rotor-rubs", "barrel-rubs", "hands-touch")
"""The usual findings at which something has rubbed."""
MARKS = tuple(f"mark_{number}" for number in range(1, 7))
MOST_TEETH = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class WheelPressed:
    """A wheel as it was pressed: its middle, where its teeth are, tooth 1, by what scale."""

    at_px: tuple[float, float]
    inside: bool
    first_px: tuple[float, float] | None
    scale: Scale | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PivotPressed:
    """A pivot as it was pressed."""

    at_px: tuple[float, float]
    scale: Scale | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksPressed:
    """Points as they were pressed round a middle."""

    at_px: tuple[float, float]
    marks_px: tuple[tuple[float, float], ...]
    scale: Scale | None
    view: PhotoView


class PartForm(ScaledForm):
    """What may be told without a scale too."""

    scale = forms.ChoiceField(
        label=gettext_lazy("The scale is"), choices=SCALES_OR_NONE, initial=NO_SCALE
    )

    def scale_or_none(self, typed: dict[str, Any]) -> Scale | None:
        """Return what gives the scale, if anything does."""
        return None if typed["scale"] == NO_SCALE else self.scale_of(typed)


class WheelForm(PartForm):
    """A wheel: which one, where its teeth are, how many are expected, and which is number 1."""

    PRESSED = ("tooth",)

    tooth_across = place(gettext_lazy("From the left, %"))
    tooth_down = place(gettext_lazy("From the top, %"))
    wheel = forms.ChoiceField(label=gettext_lazy("Which wheel it is"), initial=DATE_RING)
    teeth = forms.ChoiceField(label=gettext_lazy("Its teeth are"), choices=TEETH, initial=INSIDE)
    expected = forms.IntegerField(
        label=gettext_lazy("Teeth expected"),
        help_text=gettext_lazy("empty: what the calibre sheet says, if it says it"),
        required=False,
        min_value=2,
        max_value=MOST_TEETH,
    )

    def __init__(self, photograph: Photograph, *args: Any, **kwargs: Any) -> None:
        """Offer the wheels of the watch."""
        super().__init__(photograph, *args, **kwargs)
        found = countable_wheels(sheet_named(photograph.visit.watch.calibre))
        self.wheels = {each.key: each for each in found}
        chosen = self.fields["wheel"]
        chosen.choices = [(each.key, called(each)) for each in found]  # type: ignore[attr-defined]
        if DATE_RING not in self.wheels:
            chosen.initial, self.fields["teeth"].initial = found[0].key, OUTSIDE

    def pressed_in(self, typed: dict[str, Any]) -> WheelPressed:
        """Return the wheel as it was pressed."""
        return WheelPressed(
            at_px=self.at_px("at"),
            inside=typed["teeth"] == INSIDE,
            first_px=self.at_px("tooth") if self.is_pressed("tooth") else None,
            scale=self.scale_or_none(typed),
        )

    @property
    def chosen(self) -> Countable:
        """Return which wheel it is; only of a form that is valid."""
        return self.wheels[self.cleaned_data["wheel"]]

    @property
    def expected_teeth(self) -> int | None:
        """Return how many teeth it should have: as typed, else as the sheet says, else None."""
        typed: int | None = self.cleaned_data["expected"]
        return typed or self.chosen.teeth


def called(wheel: Countable) -> str:
    """Return what a wheel is called in the list, with its teeth where the sheet tells them."""
    if wheel.teeth is None:
        return wheel.name
    return _("%(wheel)s (%(teeth)d by the sheet)") % {"wheel": wheel.name, "teeth": wheel.teeth}


class PivotForm(PartForm):
    """A pivot in silhouette: where it is, and in which bearing it turns."""

    scale = forms.ChoiceField(
        label=gettext_lazy("The scale is"), choices=SCALES_OR_NONE, initial=CARD
    )
    table = forms.ChoiceField(label=gettext_lazy("It is the pivot of the"))
    after = forms.ChoiceField(label=gettext_lazy("Measured"), choices=WHEN)

    def __init__(self, photograph: Photograph, *args: Any, **kwargs: Any) -> None:
        """Offer the bearings of the watch."""
        super().__init__(photograph, *args, **kwargs)
        tables = bearing_tables(photograph.visit)
        self.fields["table"].choices = list(tables.items())  # type: ignore[attr-defined]

    def pressed_in(self, typed: dict[str, Any]) -> PivotPressed:
        """Return the pivot as it was pressed."""
        return PivotPressed(at_px=self.at_px("at"), scale=self.scale_or_none(typed))

    @property
    def is_after(self) -> bool:
        """Return whether it is measured after the work; only of a form that is valid."""
        return bool(self.cleaned_data["after"] == "yes")

    @property
    def key(self) -> str:
        """Return the key of the size; only of a form that is valid."""
        return f"{self.cleaned_data['table']}.pivot_mm"


class MarksForm(PartForm):
    """Points pressed round a middle, and the finding that they belong to."""

    PRESSED = MARKS

    finding = forms.ChoiceField(label=gettext_lazy("The finding"))
    seen_from = side_field()
    turned_deg = turn_field()

    def __init__(self, photograph: Photograph, *args: Any, **kwargs: Any) -> None:
        """Offer the findings at which something has rubbed."""
        super().__init__(photograph, *args, **kwargs)
        for name in MARKS:
            self.fields[f"{name}_across"] = place(gettext_lazy("From the left, %"))
            self.fields[f"{name}_down"] = place(gettext_lazy("From the top, %"))
        choices = [(key, BY_KEY[key].title) for key in RUBBING]
        self.fields["finding"].choices = choices  # type: ignore[attr-defined]

    def pressed_in(self, typed: dict[str, Any]) -> MarksPressed:
        """Return the points as they were pressed."""
        return MarksPressed(
            at_px=self.at_px("at"),
            marks_px=tuple(self.at_px(name) for name in MARKS if self.is_pressed(name)),
            scale=self.scale_or_none(typed),
            view=view_of(typed),
        )

    @property
    def points(self) -> list[tuple[str, forms.BoundField, forms.BoundField]]:
        """Return the name and both fields of each point that may be pressed."""
        return [(name, self[f"{name}_across"], self[f"{name}_down"]) for name in MARKS]
