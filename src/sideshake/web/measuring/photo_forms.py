"""Forms for measuring in a photograph: what was pressed, what gives the scale, how it is seen."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.validators import MaxValueValidator, MinValueValidator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.photo.card import CALLIPER_U_MM, LINE_MM, MOST_OFF_MM, Print
from sideshake.photo.hole import PhotoView, SeenSide
from sideshake.photo.scale import LEVEL, ByCard, ByPoints, ByRound, Scale
from sideshake.web.base.number_fields import MeasuredField, NumberField
from sideshake.web.base.record_form import RecordForm
from sideshake.web.evidence.photograph_forms import hundredths
from sideshake.web.models import Photograph, Workshop, the_workshop

CARD, KNOWN, RULE, NO_SCALE = "card", "known", "rule", "none"
SCALES = (
    (CARD, gettext_lazy("the printed card")),
    (KNOWN, gettext_lazy("something of known size")),
    (RULE, gettext_lazy("two points on a rule")),
)
SIDES = (
    (SeenSide.BRIDGE.value, gettext_lazy("bridge")),
    (SeenSide.PLATE.value, gettext_lazy("plate")),
)
WHEN = (("no", gettext_lazy("before the work")), ("yes", gettext_lazy("after the work")))
POINTS: dict[str, tuple[str, ...]] = {
    CARD: (),
    KNOWN: ("known",),
    RULE: ("first", "second"),
    NO_SCALE: (),
}
"""What is pressed for each scale, beside the thing itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressed:
    """A hole as it was pressed: where, by what scale, how it is seen."""

    at_px: tuple[float, float]
    scale: Scale
    view: PhotoView


def place(label: Any, *, required: bool = False) -> NumberField:
    """Return a field for a place in the picture that may be left empty."""
    field = hundredths(label)
    field.required = required
    return field


def side_field() -> forms.ChoiceField:
    """Return a field for the side from which the part is seen."""
    return forms.ChoiceField(label=gettext_lazy("Seen from the"), choices=SIDES)


def turn_field() -> NumberField:
    """Return a field for how the part is turned in the picture."""
    return NumberField(
        label=gettext_lazy("The part is turned by, °"),
        help_text=gettext_lazy("counter-clockwise in the picture; 0: its 12 o'clock is up"),
        required=False,
        validators=[MinValueValidator(-360), MaxValueValidator(360)],
    )


class ScaledForm(forms.Form):
    """Where the thing is that is measured, and what gives the scale."""

    PRESSED: tuple[str, ...] = ()
    """What may be pressed beside the thing itself and the scale's points."""

    at_across = place(gettext_lazy("From the left, %"), required=True)
    at_down = place(gettext_lazy("From the top, %"), required=True)
    scale = forms.ChoiceField(label=gettext_lazy("The scale is"), choices=SCALES, initial=CARD)
    above_mm = MeasuredField(
        label=gettext_lazy("The card lies higher than the rim by, mm"),
        help_text=gettext_lazy("empty: at its height, 0 ± 0.1; lower: with a minus"),
        name="above_mm",
        required=False,
    )
    known_across = place(gettext_lazy("From the left, %"))
    known_down = place(gettext_lazy("From the top, %"))
    known_mm = MeasuredField(
        label=gettext_lazy("Its diameter, mm"), name="known_mm", required=False
    )
    known_pin = forms.BooleanField(
        label=gettext_lazy("It is a pin or another solid thing, no hole"), required=False
    )
    first_across = place(gettext_lazy("From the left, %"))
    first_down = place(gettext_lazy("From the top, %"))
    second_across = place(gettext_lazy("From the left, %"))
    second_down = place(gettext_lazy("From the top, %"))
    length_mm = MeasuredField(
        label=gettext_lazy("From the one to the other, mm"), name="length_mm", required=False
    )

    def __init__(self, photograph: Photograph, *args: Any, **kwargs: Any) -> None:
        """Take what was typed about a photograph."""
        super().__init__(*args, **{"auto_id": "%s", **kwargs})
        self.photograph = photograph

    def clean(self) -> dict[str, Any]:
        """Join what was typed to what is measured."""
        typed: dict[str, Any] = super().clean() or {}
        if self.errors:
            return typed
        for name in POINTS[typed["scale"]]:
            if typed[f"{name}_across"] is None or typed[f"{name}_down"] is None:
                raise forms.ValidationError(WANTED[name])
        for name in self.PRESSED:
            if (typed[f"{name}_across"] is None) != (typed[f"{name}_down"] is None):
                raise forms.ValidationError({f"{name}_down": _("A place needs both numbers.")})
        for name, scale in (("known_mm", KNOWN), ("length_mm", RULE)):
            if typed["scale"] == scale and typed[name] is None:
                raise forms.ValidationError({name: _("How many millimetres?")})
        try:
            typed["pressed"] = self.pressed_in(typed)
        except InputError as error:
            raise forms.ValidationError(error.sentence) from None
        return typed

    def pressed_in(self, typed: dict[str, Any]) -> Any:
        """Return what is measured, as it was pressed."""
        raise NotImplementedError

    def places(self) -> list[tuple[float, float]]:
        """Return every place that is pressed, in pixels; none unless the form is valid."""
        if not self.is_bound or not self.is_valid():
            return []
        names = ["at", *POINTS[self.cleaned_data["scale"]], *self.PRESSED]
        return [self.at_px(name) for name in names if self.is_pressed(name)]

    def is_pressed(self, name: str) -> bool:
        """Return whether a place is told whole."""
        return all(self.cleaned_data.get(f"{name}_{way}") is not None for way in ("across", "down"))

    def at_px(self, name: str) -> tuple[float, float]:
        """Return the pixel of a pressed place; 0 is the middle of the first one."""
        across, down = (float(self.cleaned_data[f"{name}_{way}"]) for way in ("across", "down"))
        wide, high = self.photograph.width_px, self.photograph.height_px
        return (
            min(max(across / 100 * wide - 0.5, 0.0), wide - 1.0),
            min(max(down / 100 * high - 0.5, 0.0), high - 1.0),
        )

    def scale_of(self, typed: dict[str, Any]) -> Scale:
        """Return what gives the scale; there is one."""
        if typed["scale"] == KNOWN:
            return ByRound(
                at_px=self.at_px("known"),
                diameter_mm=typed["known_mm"],
                outline=typed["known_pin"],
            )
        if typed["scale"] == RULE:
            return ByPoints(
                first_px=self.at_px("first"),
                second_px=self.at_px("second"),
                length_mm=typed["length_mm"],
            )
        return ByCard(printed=print_of(the_workshop()), above_mm=typed["above_mm"] or LEVEL)


class LookForm(ScaledForm):
    """Where the hole is, what gives the scale, and how the part is seen."""

    seen_from = side_field()
    turned_deg = turn_field()
    rounded = forms.BooleanField(
        label=gettext_lazy("The rim is rounded, chamfered or sunk"), required=False
    )

    def pressed_in(self, typed: dict[str, Any]) -> Pressed:
        """Return the hole as it was pressed."""
        return Pressed(at_px=self.at_px("at"), scale=self.scale_of(typed), view=view_of(typed))

    @property
    def pressed(self) -> Pressed:
        """Return what is measured; only of a form that is valid."""
        found: Pressed = self.cleaned_data["pressed"]
        return found


WANTED = {
    "known": gettext_lazy("Press the thing of known size in the photograph too."),
    "first": gettext_lazy("Press two points on the rule."),
    "second": gettext_lazy("Press the second point on the rule."),
}


def view_of(typed: dict[str, Any]) -> PhotoView:
    """Return how the part is seen."""
    return PhotoView(
        side=SeenSide(typed["seen_from"]),
        turned_deg=float(typed["turned_deg"] or 0),
        rounded=typed.get("rounded", False),
    )


def print_of(shop: Workshop) -> Print:
    """Return how this workshop's printer prints the card.

    Raises
    ------
    InputError : nobody has measured the two lines yet
    """
    if shop.card_across_mm is None or shop.card_along_mm is None:
        raise InputError(
            _(
                "how long the two lines of the printed card are is not known: print the card, "
                "measure both lines and write them down on the card's page"
            )
        )
    across, along = (
        Measured(value, CALLIPER_U_MM) for value in (shop.card_across_mm, shop.card_along_mm)
    )
    return Print(across_mm=across, along_mm=along)


class CardForm(RecordForm):
    """How long the card's two lines came out."""

    card_across_mm = NumberField(label=gettext_lazy("Line across, mm"))
    card_along_mm = NumberField(label=gettext_lazy("Line along, mm"))

    class Meta:
        model = Workshop
        fields = ("card_across_mm", "card_along_mm")

    def clean(self) -> dict[str, Any]:
        """Refuse a line that was not measured, or not printed as it should be."""
        typed: dict[str, Any] = super().clean() or {}
        for name in self.Meta.fields:
            length = typed.get(name)
            if length is not None and abs(float(length) - LINE_MM) > MOST_OFF_MM:
                self.add_error(
                    name,
                    _(
                        "%(length)s mm is too far from 100 mm: print the card without fitting it "
                        "to the page, then measure its line"
                    )
                    % {"length": length},
                )
        return typed
