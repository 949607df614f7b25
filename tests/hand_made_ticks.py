"""Ticks written down by hand: the noises of a side, and what the ear makes of both sides."""

import math

import numpy as np

from sideshake.sound.choices import Explanation, Naming, SidesExplained
from sideshake.sound.event import Event
from sideshake.sound.explain import explained
from sideshake.sound.onset import DRAWS
from sideshake.sound.template import Onsets

BEAT_S = 0.2
LIFT_MS = 12.28
"""Unlocking to drop at 270 degrees, 18000 an hour, lift angle 52 degrees (trade-facts 3.3)."""
IMPULSE_MS = 3.9
ROOM_DB = -35.0
"""The faintest noise that is noticed, against a drop of 0 dB."""


def noise(at_ms: float, level_db: float, *, sigmas: float = 40.0) -> Event:
    """Return a noise so many ms after the arrival, so loud against a drop of 0 dB."""
    return Event(
        at_s=at_ms * 1e-3, level=10 ** (level_db / 10), rise=30.0, sigmas=sigmas,
        scale_s=0.125e-3, coherent=False,
    )  # fmt: skip


def tick(
    *,
    unlock_db: float | None = -13.0,
    impulse_db: float | None = -8.0,
    lift_ms: float = LIFT_MS,
    more: tuple[Event, ...] = (),
) -> list[Event]:
    """Return unlocking, impulse and drop (at 0 ms) and whatever more there is, in order of time."""
    found = [noise(0.0, 0.0), *more]
    if unlock_db is not None:
        found.append(noise(-lift_ms, unlock_db))
    if impulse_db is not None:
        found.append(noise(-lift_ms * (1 - IMPULSE_MS / LIFT_MS), impulse_db))
    return sorted(found, key=lambda each: each.at_s)


def explain(
    one: list[Event], other: list[Event], *, beat_s: float = BEAT_S, room_db: float = ROOM_DB
) -> Explanation:
    """Return what the ear makes of the noises of tick and tock in a room so loud."""
    limit = 10 ** (room_db / 10)
    return explained(one, other, beat_s=beat_s, deepest=(limit, limit))


def named(explanation: Explanation, side: int) -> tuple[float, float, float]:
    """Return when (ms) unlocking, impulse and drop of a side are, NaN for one that is not heard."""
    choice, events = explanation.choices[0], explanation.events[side]
    naming = (choice.tick, choice.tock)[side]
    at = (naming.unlock, naming.impulse, naming.drop)
    return tuple(events[each].at_s * 1e3 if each >= 0 else math.nan for each in at)  # type: ignore[return-value]


def surely(span_s: float) -> Explanation:
    """Return an explanation that leaves no doubt: the time from unlocking to drop is this."""
    naming = Naming(
        unlock=0, impulse=-1, drop=1, span_s=span_s, share=math.nan, impulse_s=math.nan,
        impulse_db=math.nan,
        unlock_db=-13.0, limit_db=ROOM_DB, score=0.0,
    )  # fmt: skip
    side = (noise(-2.0, -13.0), noise(-2.0 + span_s * 1e3, 0.0))
    choice = SidesExplained(tick=naming, tock=naming, probability=0.999)
    return Explanation(events=(side, side), choices=(choice,), hidden=1e-4, limit_db=ROOM_DB)


def onsets(
    unlock_s: float,
    drop_s: float,
    *,
    scatter_s: float = 0.0,
    shape_u_s: tuple[float, float] = (0.0, 0.0),
    seed: int = 0,
) -> Onsets:
    """Return planted onsets: one over all, the bootstrap draws, two groups."""
    rows = 1 + DRAWS + 2
    wave = np.random.default_rng(seed).normal(0, 1, (2, rows)) * scatter_s
    wave[:, 0] = 0
    return Onsets(
        unlock_s=unlock_s + wave[0], drop_s=drop_s + wave[1], unlock_u_s=shape_u_s[0],
        drop_u_s=shape_u_s[1], middle_late_s=np.zeros(70),
        unlock_late_s=np.zeros(70), beats=70,
    )  # fmt: skip
