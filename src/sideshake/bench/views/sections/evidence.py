"""The sections on what was measured and heard."""

from typing import Any

from sideshake.bench.models import User, Visit
from sideshake.bench.services.comparing import differences
from sideshake.bench.services.measuring import judged, names, written


def measured(visit: Visit, _user: User) -> dict[str, Any]:
    """Return the verdict on the measured sizes, and the sizes."""
    called = names()
    rows = [
        (called.get(row.key, row.key), written(row))
        for row in visit.measurements.all()
        if not row.after
    ]
    return {"known": judged(visit), "sizes": rows}


def heard(visit: Visit, _user: User) -> dict[str, Any]:
    """Return what the work has changed, for the first pair heard in the same way."""
    return {"differences": differences(list(visit.readings.all()))}
