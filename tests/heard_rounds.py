"""Rounds as the records hold them, written down by hand for the tests."""

from sideshake.web.base.saving import save
from sideshake.web.models import Reading, Round
from sideshake.web.rounds.services import PRESETS, plan_of

SIX = ("CH", "FH", "3H", "6H", "9H", "12H")
SPOT = {"CH": (6, 276), "FH": (5, 280), "3H": (31, 262), "6H": (3, 264), "9H": (-28, 261),
        "12H": (-1, 263)}  # fmt: skip
SPOT_24H = {"CH": (9, 230), "FH": (8, 232), "3H": (-70, 172), "6H": (-1, 171), "9H": (72, 170),
            "12H": (3, 173)}  # fmt: skip
"""The two rounds of docs/poise.md: a heavy spot, and the same one below 219.5°."""


def new_round(visit, by, **more):
    """Return a stored round of the six positions, in which nothing was heard yet."""
    found = Round(visit=visit, **{"plan": PRESETS[0].plan, **more})
    save(found, by)
    return found


def hear(visit, by, position, rate, amplitude, **more):
    """Return a stored reading that was heard; `round` and all else as the model names it."""
    figures = {"lift_angle_deg": 50.0, "lift_angle_u_deg": 0.5, "recorder": "this computer",
               "clock": "2026-02-01"}  # fmt: skip
    given = {
        "wound": "full", "state": "heard", "sentence": f"Gains {rate} s a day.",
        "rate_s_per_day": rate, "rate_u_s_per_day": 0.5, "rate_alone_u_s_per_day": 0.3,
        "amplitude_deg": amplitude, "amplitude_u_deg": 3.2, "beat_error_ms": 0.4,
        "beat_error_u_ms": 0.05, "beats_per_hour": 18000, "figures": figures,
    }  # fmt: skip
    reading = Reading(visit=visit, position=position, **{**given, **more})
    save(reading, by)
    return reading


def heard_round(visit, by, figures, *, running=None, wound="full", after=False):
    """Return a stored round with a reading for each of {position: (rate, amplitude)}."""
    plan = plan_of(list(figures), list(running or ()))
    found = new_round(visit, by, plan=plan, wound=wound, after=after)
    for on, group in ((False, figures), (True, running or {})):
        for position, (rate, amplitude) in group.items():
            hear(
                visit, by, position, rate, amplitude, round=found, wound=wound, after=after,
                chronograph_on=on,
            )  # fmt: skip
    return found
