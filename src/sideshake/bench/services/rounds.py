"""Rounds: the positions in turn, and the readings taken of each."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from sideshake.bench.models import Position, Reading, Round
from sideshake.bench.services.hearing import HEARD
from sideshake.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
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


def places_of(found: Round) -> list[Place]:
    """Return the positions of a round in turn with their readings."""
    heard = {
        (reading.position, reading.chronograph_on): reading
        for reading in found.readings.all()
        if reading.state == HEARD
    }
    return [
        Place(
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
