"""What a watch swings in the position that is like another one, to settle an open amplitude."""

from sideshake.core.quantities import Measured
from sideshake.core.version import EAR
from sideshake.web.models import Reading
from sideshake.web.rounds.models import Position

LYING = frozenset({Position.CH, Position.FH})


def twin_swing(reading: Reading) -> Measured | None:
    """Return the amplitude of the same round in a position alike, lying or hanging.

    None where there is none that the sound alone has told, heard by this ear.
    """
    if reading.round_id is None or reading.position == Position.UNKNOWN:
        return None
    lying = reading.position in LYING
    others = Reading.objects.filter(
        round_id=reading.round_id,
        chronograph_on=reading.chronograph_on,
        amplitude_deg__isnull=False,
        ear=EAR,
    ).exclude(pk=reading.pk)
    for other in others.order_by("-pk"):
        alike = other.position != Position.UNKNOWN and (other.position in LYING) == lying
        if alike and not other.figures.get("swing_settled"):
            return Measured(float(other.amplitude_deg or 0.0), float(other.amplitude_u_deg or 0.0))
    return None
