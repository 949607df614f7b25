"""Forms for rounds."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.web.base.number_fields import NumberField
from sideshake.web.base.record_form import RecordForm
from sideshake.web.models import Position, Round
from sideshake.web.readings.forms import ReadingForm
from sideshake.web.rounds.services import ORDER, PRESETS, plan_of

LONGEST_S = 3600


@dataclass(frozen=True, slots=True, kw_only=True)
class PositionTicks:
    """A line of the table in which positions are chosen."""

    position: str
    words: str
    off: bool
    running: bool


class RoundForm(RecordForm):
    """How the watch is wound, and what is to be known of a round; for one that exists already."""

    class Meta:
        model = Round
        fields: tuple[str, ...] = ("wound", "after", "note")


class NewRoundForm(RoundForm):
    """A round about to begin: the positions as ticked or as one of the presets, and how long each.

    The ticks are `off` and `running`, each once for every position chosen.
    """

    lift_angle_deg = NumberField(
        label=gettext_lazy("lift angle, degrees"),
        required=False,
        help_text=gettext_lazy("left out: the calibre's"),
    )
    wanted_rate_s_per_day = NumberField(
        label=gettext_lazy("rate wanted within, s a day"),
        help_text=gettext_lazy("half of the 95 % interval, the sound clock's share aside"),
    )
    wanted_amplitude_deg = NumberField(
        label=gettext_lazy("amplitude wanted within, degrees"),
        help_text=gettext_lazy("half of the 95 % interval, the lift angle's share aside"),
    )

    class Meta(RoundForm.Meta):
        fields = (
            "wound", "after", "lift_angle_deg", "rest_s", "least_s", "most_s",
            "wanted_rate_s_per_day", "wanted_amplitude_deg", "note",
        )  # fmt: skip
        help_texts = {
            "wound": gettext_lazy(
                "fully wound is 30 to 90 minutes after winding, 24 hours is 23½ to 25 after it "
                "(one maker's instruction)"
            ),
            "rest_s": gettext_lazy(
                "the first 10 to 30 s after turning are left out (common practice)"
            ),
            "least_s": gettext_lazy("about a minute is usual (common practice)"),
            "most_s": gettext_lazy("it ends sooner once both are within what is wanted"),
        }

    clean_lift_angle_deg = ReadingForm.clean_lift_angle_deg

    @property
    def ticks(self) -> Iterator[PositionTicks]:
        """Yield the lines of the table, ticked as sent, or as the round's plan is."""
        chosen = self.sent_plan() if self.is_bound else self.instance.plan
        pairs = {(each["position"], each["chronograph_on"]) for each in chosen}
        for position in ORDER:
            yield PositionTicks(
                position=position,
                words=str(Position(position).label),
                off=(position, False) in pairs,
                running=(position, True) in pairs,
            )

    def sent_plan(self) -> list[dict[str, Any]]:
        """Return the plan of the preset that was pressed, else of what is ticked."""
        for preset in PRESETS:
            if self.data.get("preset") == preset.key:
                return preset.plan
        return plan_of(self.ticked("off"), self.ticked("running"))

    def ticked(self, name: str) -> list[str]:
        """Return the positions ticked in one column."""
        sent: Any = self.data
        return [str(each) for each in sent.getlist(name)]

    def clean(self) -> dict[str, Any]:
        """Put the plan into the round; refuse none at all, and times that run backwards."""
        cleaned: dict[str, Any] = super().clean() or {}
        self.instance.plan = self.sent_plan()
        if not self.instance.plan:
            self.add_error(None, _("Tick at least one position."))
        least, most = cleaned.get("least_s"), cleaned.get("most_s")
        if least is not None and most is not None and least > most:
            self.add_error("most_s", _("The longest time is not below the shortest."))
        return cleaned

    def clean_rest_s(self) -> int:
        """Return the rest before each position."""
        return self.seconds("rest_s", least=0)

    def clean_least_s(self) -> int:
        """Return the shortest time of listening."""
        return self.seconds("least_s", least=5)

    def clean_most_s(self) -> int:
        """Return the longest time of listening."""
        return self.seconds("most_s", least=5)

    def seconds(self, name: str, *, least: int) -> int:
        """Return a time; refuse one that cannot be meant."""
        value: int = self.cleaned_data[name]
        if not least <= value <= LONGEST_S:
            raise forms.ValidationError(
                _("%(least)d to %(most)d seconds are allowed"),
                params={"least": least, "most": LONGEST_S},
            )
        return value

    def clean_wanted_rate_s_per_day(self) -> float:
        """Return how sure the rate should become."""
        return self.above_nothing("wanted_rate_s_per_day")

    def clean_wanted_amplitude_deg(self) -> float:
        """Return how sure the amplitude should become."""
        return self.above_nothing("wanted_amplitude_deg")

    def above_nothing(self, name: str) -> float:
        """Return a wanted interval; refuse none at all."""
        value = float(self.cleaned_data[name])
        if not value > 0:
            raise forms.ValidationError(_("it must be above 0"))
        return value
