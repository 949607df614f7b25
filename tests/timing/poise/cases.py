"""Hanging rates to fit: written down, or planted through the poise formula."""

from sideshake.core.quantities import Measured
from sideshake.movement.balance import poise_rate
from sideshake.movement.energy import stiffness
from sideshake.timing.poise.heavy_spot import UP_DEG, Hanging, HangingRate

K = stiffness(Measured(10.0), 28800)
"""The balance of the published worksheet: 10 mg cm², 4 Hz."""


def hanging(rates, *, amplitude=270.0, u=0.1, amplitude_u=1.0, again=0.0):
    read = {
        f"up_{position[:-1]}": HangingRate(
            rate_s_per_day=Measured(rates[position], u),
            amplitude_deg=Measured(amplitude, amplitude_u),
        )
        for position in UP_DEG
    }
    return Hanging(again_u_s_per_day=again, **read)


def planted(spot_deg, *, amplitude, mean=3.0, mg_mm=0.238):
    """Rates of a balance whose heavy spot points to `spot_deg` on the dial, by the formula."""
    return {
        position: mean
        + poise_rate(
            Measured(mg_mm),
            Measured(amplitude),
            stiffness_nm=K,
            spot_from_down_deg=Measured(spot_deg - up - 180.0),
        ).value
        for position, up in UP_DEG.items()
    }
