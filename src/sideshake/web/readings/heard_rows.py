"""What a stored reading tells, without what hears: pages and papers read it at once."""

from sideshake.core.quantities import Measured
from sideshake.web.models import Reading

LIVE, WAITING, HEARD, NO_READING = "live", "waiting", "heard", "no-reading"
UNCERTAINTY = {
    "rate_s_per_day": "rate_u_s_per_day",
    "amplitude_deg": "amplitude_u_deg",
    "beat_error_ms": "beat_error_u_ms",
}
PICTURES = "reading-pictures"
LOOK = "ring-2"
"""Changes with the look of the pictures, so that none drawn in an older one is shown."""


def measured(reading: Reading, name: str) -> Measured | None:
    """Return one figure of a reading: rate_s_per_day, amplitude_deg or beat_error_ms.

    None when it was not told, or without its uncertainty: then it says nothing.
    """
    value, u = getattr(reading, name), getattr(reading, UNCERTAINTY[name])
    return None if value is None or u is None else Measured(value, u)
