"""The form of the page on balance and hairspring: what is known, each value with its doubt."""

from collections.abc import Iterator, Mapping
from typing import Any

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.sheet import CalibreSheet
from sideshake.timing.balance.known import KnownOfBalance, known_from
from sideshake.timing.balance.metals import RIMS, SPRINGS
from sideshake.timing.balance.sums import BalanceAnswer, Open, balance_sums
from sideshake.web.base.number_fields import MeasuredField

METALS: dict[str, Any] = {
    "brass": gettext_lazy("brass"),
    "steel": gettext_lazy("steel"),
    "nickel silver": gettext_lazy("nickel silver"),
    "beryllium bronze": gettext_lazy("beryllium bronze"),
    "carbon steel": gettext_lazy("carbon steel"),
    "self-compensating alloy": gettext_lazy("self-compensating alloy"),
}
LABELS: dict[str, Any] = {
    "beats_per_hour": gettext_lazy("beats an hour"),
    "inertia_mg_cm2": gettext_lazy("moment of inertia, mg·cm²"),
    "mass_mg": gettext_lazy("mass with staff and roller, mg"),
    "pivot_mm": gettext_lazy("diameter of the pivots, mm"),
    "quality_factor": gettext_lazy("quality factor"),
    "lying_deg": gettext_lazy("amplitude lying, °"),
    "rim": gettext_lazy("metal of the rim"),
    "spring": gettext_lazy("its metal"),
    "height_mm": gettext_lazy("height of the strip, mm"),
    "thickness_mm": gettext_lazy("thickness of the strip, mm"),
    "length_mm": gettext_lazy("active length, mm"),
    "elastic_gpa": gettext_lazy("modulus of elasticity, GPa"),
    "shortened_mm": gettext_lazy("shortened by, mm (longer: −)"),
    "index_deg": gettext_lazy("index towards fast, ° (slow: −)"),
    "pins_radius_mm": gettext_lazy("radius of the pins, mm"),
    "rate_wanted_s_per_day": gettext_lazy("change of rate wanted, s a day"),
    "weight_ug": gettext_lazy("weight added, µg (taken: −)"),
    "at_mm": gettext_lazy("its distance from the staff, mm"),
    "warmer_c": gettext_lazy("warmer by, °C (colder: −)"),
    "spot_s_per_day": gettext_lazy("a heavy spot makes, s a day"),
    "swing_deg": gettext_lazy("at an amplitude of, °"),
}
GROUPS: tuple[tuple[Promise, tuple[str, ...]], ...] = (
    (gettext_lazy("The balance"),
     ("beats_per_hour", "inertia_mg_cm2", "mass_mg", "pivot_mm", "quality_factor", "lying_deg",
      "rim")),
    (gettext_lazy("Its hairspring"),
     ("spring", "height_mm", "thickness_mm", "length_mm", "elastic_gpa")),
    (gettext_lazy("Index and length"),
     ("index_deg", "pins_radius_mm", "shortened_mm", "rate_wanted_s_per_day")),
    (gettext_lazy("Weight, warmth, a heavy spot"),
     ("weight_ug", "at_mm", "warmer_c", "spot_s_per_day", "swing_deg")),
)  # fmt: skip
"""The parts of the form, and what belongs into each."""


CHOICES: dict[str, tuple[str, ...]] = {"rim": tuple(RIMS), "spring": tuple(SPRINGS)}


def metal_field(label: Any, metals: tuple[str, ...]) -> forms.ChoiceField:
    """Return the field in which a metal is chosen."""
    choices = [("", gettext_lazy("not known")), *((each, METALS[each]) for each in metals)]
    return forms.ChoiceField(label=label, required=False, choices=choices)


class BalanceForm(forms.Form):
    """What is known of a balance; every line may be left empty."""

    beats_per_hour = forms.IntegerField(
        label=LABELS["beats_per_hour"], required=False, min_value=1, widget=forms.TextInput
    )
    told: tuple[BalanceAnswer, ...] = ()
    still_open: tuple[Open, ...] = ()

    def __init__(self, *args: Any, **options: Any) -> None:
        """Make a field for every value and every metal."""
        super().__init__(*args, **options)
        for name, label in LABELS.items():
            if name in self.fields:
                continue
            self.fields[name] = (
                metal_field(label, CHOICES[name])
                if name in CHOICES
                else MeasuredField(label=label, required=False, name=name)
            )

    @property
    def groups(self) -> Iterator[tuple[Promise, list[forms.BoundField]]]:
        """Yield the form's parts, each with its fields."""
        for title, names in GROUPS:
            yield title, [self[name] for name in names]

    def clean(self) -> dict[str, Any]:
        """Compute every answer; what contradicts itself is said above the form."""
        cleaned: dict[str, Any] = super().clean() or {}
        if not self.errors:
            try:
                known = KnownOfBalance(**{name: value for name, value in cleaned.items() if value})
                self.told, self.still_open = balance_sums(known)
            except InputError as fault:
                self.add_error(None, fault.sentence)
        return cleaned

    @property
    def lacking(self) -> list[str]:
        """Return why questions that were begun are still open, a sentence each."""
        used = {name for told in self.told for name in told.rests_on}
        return [
            f"{each.title}: {each.reason}."
            if each.reason
            else _("%(question)s: lacks %(lines)s.")
            % {"question": each.title, "lines": "; ".join(str(LABELS[n]) for n in each.lacks)}
            for each in self.still_open
            if each.is_begun(frozenset(self.filled) - used)
        ]

    @property
    def filled(self) -> list[str]:
        """Return which lines hold something."""
        return [name for name, value in self.cleaned_data.items() if value]


def as_written(sheet: CalibreSheet) -> Mapping[str, str]:
    """Return what a calibre's sheet tells of its balance, as it is written into the form."""
    return {
        name: value.typed() if isinstance(value, Measured) else str(value)
        for name, value in known_from(sheet).items()
    }
