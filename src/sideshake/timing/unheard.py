"""A reading of a watch whose escapement does not let its amplitude be heard."""

from dataclasses import replace

import numpy as np

from sideshake.timing.reading import Reading


def without_amplitude(reading: Reading, why: str) -> Reading:
    """Return the reading without any amplitude, and why; the same reading if `why` is empty.

    The rate and the beat error rest on when the beats come and stay as they are.
    """
    if not why:
        return reading
    return replace(
        reading,
        amplitude_deg=None,
        out_of_beat_deg=None,
        no_amplitude=why,
        amplitudes_deg=np.empty(0),
        amplitudes_at_s=np.empty(0),
        amplitude_chance_deg=0.0,
        swing_settled=False,
    )
