"""A reading of a watch whose escapement is known: what it means, and what cannot be heard of it."""

from dataclasses import replace

import numpy as np

from sideshake.movement.escapement import EscapementLimits, why_unheard
from sideshake.timing.reading import Reading


def of_escapement(reading: Reading, limits: EscapementLimits) -> Reading:
    """Return the reading as one of this escapement; without any amplitude where none can be heard.

    The rate and the beat error rest on when the beats come and stay as they are.
    """
    known = replace(reading, escapement=limits)
    why = why_unheard(limits)
    if not why:
        return known
    return replace(
        known,
        amplitude_deg=None,
        out_of_beat_deg=None,
        no_amplitude=why,
        amplitudes_deg=np.empty(0),
        amplitudes_at_s=np.empty(0),
        amplitude_chance_deg=0.0,
        swing_settled=False,
    )
