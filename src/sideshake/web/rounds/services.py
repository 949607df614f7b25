"""Rounds: the positions in turn, the readings taken of each, and how a round comes to be."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.core.errors import InputError
from sideshake.web.base.putting_aside import link, put_aside
from sideshake.web.base.saving import save
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.models import Position, Reading, Removed, Round, Step, User, Visit, Wound
from sideshake.web.readings.heard_rows import HEARD, LIVE, WAITING
from sideshake.web.readings.hearing import hear_soon
from sideshake.workshop_rules.mechanism import Mechanism, mechanisms, told

ORDER = tuple(str(each) for each in Position if each)
"""The positions in the order in which the bench goes through them: lying first."""
AFTER_THE_WORK = (Step.ON_TEST, Step.READY, Step.GONE_HOME)
A_DAY_FROM, A_DAY_UNTIL = timedelta(hours=20), timedelta(hours=30)
"""A round so long after one fully wound is taken to be the one after 24 h, unless it is changed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Preset:
    """A usual set of positions; a position is heard with the chronograph off, then running."""

    key: str
    name: str | Promise
    off: tuple[str, ...]
    running: tuple[str, ...] = ()

    @property
    def plan(self) -> list[dict[str, Any]]:
        """Return the positions in turn."""
        return plan_of(self.off, self.running)


PRESETS = (
    Preset(key="six", name=gettext_lazy("The six positions"), off=ORDER),
    Preset(key="five", name=gettext_lazy("Five positions"), off=("CH", "FH", "3H", "6H", "9H")),
    Preset(key="lying", name=gettext_lazy("The two lying"), off=("CH", "FH")),
    Preset(
        key="chronograph",
        name=gettext_lazy("Chronograph: dial up, off and running"),
        off=("CH",),
        running=("CH",),
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPlace:
    """One position of a round's plan, and the last reading of it that was heard, if any."""

    position: str
    chronograph_on: bool
    reading: Reading | None

    @property
    def words(self) -> str:
        """Return the position in words."""
        name = str(Position(self.position).label)
        return (
            _("%(position)s, chronograph running") % {"position": name}
            if self.chronograph_on
            else name
        )


def places_of(found: Round, readings: Sequence[Reading] | None = None) -> list[RoundPlace]:
    """Return the positions of a round in turn with their readings; asked for when not given."""
    rows = found.readings.all() if readings is None else readings
    heard = {
        (reading.position, reading.chronograph_on): reading
        for reading in rows
        if reading.state == HEARD
    }
    return [
        RoundPlace(
            position=step["position"],
            chronograph_on=step["chronograph_on"],
            reading=heard.get((step["position"], step["chronograph_on"])),
        )
        for step in found.plan
    ]


def reading_for(found: Round, place: int) -> Reading:
    """Return a reading of one position of a round, not stored yet.

    Raises
    ------
    InputError : the round has no such position
    """
    if not 0 <= place < len(found.plan):
        raise InputError(_("this round has %(count)d positions") % {"count": len(found.plan)})
    step = found.plan[place]
    return Reading(
        visit=found.visit,
        round=found,
        position=step["position"],
        chronograph_on=step["chronograph_on"],
        wound=found.wound,
        after=found.after,
        lift_angle_deg=found.lift_angle_deg,
    )


def plan_of(off: Sequence[str], running: Sequence[str]) -> list[dict[str, Any]]:
    """Return a plan: all positions with the chronograph off, then those with it running."""
    return [
        {"position": position, "chronograph_on": on}
        for on, chosen in ((False, off), (True, running))
        for position in ORDER
        if position in chosen
    ]


def may_have_chronograph(visit: Visit) -> bool:
    """Return whether the watch has a chronograph, or may have one for all that is known."""
    return Mechanism.CHRONOGRAPH in mechanisms(sheet_named(visit.watch.calibre))


def usual_round(visit: Visit) -> Round:
    """Return the round that is most likely wanted next, not stored: as the last one of this visit.

    A first round is of the six positions, and of dial up with the chronograph running where the
    calibre sheet tells of one.
    """
    after = visit.step in AFTER_THE_WORK
    last = visit.rounds.last()
    found = Round(visit=visit, after=after, plan=first_plan(visit))
    if last is not None:
        for name in LIKE_THE_LAST:
            setattr(found, name, getattr(last, name))
        if last.wound == Wound.FULL and last.after == after and a_day_ago(last):
            found.wound = Wound.DAY
    return found


LIKE_THE_LAST = (
    "plan", "lift_angle_deg", "rest_s", "least_s", "most_s", "wanted_rate_s_per_day",
    "wanted_amplitude_deg",
)  # fmt: skip


def first_plan(visit: Visit) -> list[dict[str, Any]]:
    """Return the plan of a watch's first round."""
    chronograph = Mechanism.CHRONOGRAPH in told(sheet_named(visit.watch.calibre))
    return plan_of(ORDER, ORDER[:1] if chronograph else ())


def a_day_ago(found: Round) -> bool:
    """Return whether a round was begun about a day ago."""
    return A_DAY_FROM <= timezone.now() - found.begun_at <= A_DAY_UNTIL


@transaction.atomic
def save_round(found: Round, by: User, *, seen: int | None = None) -> None:
    """Store a round; its readings are wound, and after the work, as the round is."""
    save(found, by, seen=seen)
    for reading in found.readings.exclude(wound=found.wound, after=found.after):
        reading.wound, reading.after = found.wound, found.after
        save(reading, by)
        if reading.state == WAITING:
            hear_soon(reading)


@transaction.atomic
def take_out(reading: Reading, by: User, *, seen: int | None = None) -> Removed:
    """Return what holds in which round a reading was; the reading itself stays.

    Raises
    ------
    InputError : it is in no round, or is still being listened to
    """
    if reading.round is None:
        raise InputError(_("this reading is in no round"))
    if reading.state == LIVE:
        raise InputError(_("this position is still being listened to: finish that first"))
    was_in = link(reading, "round_id")
    reading.round = None
    what = _("taken out of its round: %(reading)s") % {"reading": reading}
    save(reading, by, seen=seen, what=what)
    return put_aside(reading, by, {"links": [was_in]}, what=what, kind="leaving")
