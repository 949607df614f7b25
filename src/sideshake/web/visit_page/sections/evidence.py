"""The sections on what was measured and heard."""

from typing import Any

from sideshake.web.comparison.services import differences, usual_of
from sideshake.web.measuring.places import beside_barrel
from sideshake.web.measuring.services import judged, sizes_seen
from sideshake.web.models import User, Visit
from sideshake.web.rounds.summary import listed


def measured(visit: Visit, _user: User) -> dict[str, Any]:
    """Return the verdict on the measured sizes, the other bearings, and the sizes."""
    sizes = sizes_seen(visit.measurements.all())
    return {"known": judged(visit), "beside": beside_barrel(visit), "sizes": sizes}


def heard(visit: Visit, _user: User) -> dict[str, Any]:
    """Return what the work has changed, the rounds, and the readings that are in none."""
    readings = list(visit.readings.all())
    pair = usual_of(readings)
    return {
        "differences": differences(pair),
        "other_ear": pair.other_ear if pair else "",
        "rounds": [listed(each, readings) for each in visit.rounds.all()],
        "loose": [each for each in readings if each.round_id is None],
    }
