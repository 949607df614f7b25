"""Watches drawn at random for either simulator at a given loudness of the room."""

from dataclasses import replace

import numpy as np
from borrowed import Heard, draw
from borrowed import Truth as SecondTruth
from figures import Answer, Levels, Truth
from intervals import random_trial
from trial import Take, Trial

SNRS_DB = (25.0, 20.0, 15.0, 10.0, 6.0)
UNLOCKING_DB, IMPULSE_DB = (-24.0, -5.0), (-22.0, 4.0)
"""How loud the first simulator's noises are drawn, so that its tables tell loudness apart, too
(our assumption; without it unlocking lies 7 dB below the drop in every watch)."""

Job = tuple[int, float]
"""A seed, and how far the drop stands above the room (dB)."""


def first_answer(job: Job) -> Answer:
    """Return what the ear says to a watch of the first simulator."""
    seed, snr_db = job
    return first_trial(seed, snr_db).take().answer(seed)


def first_trial(seed: int, snr_db: float) -> Trial:
    """Return the watch that `intervals.py` draws, its noises and its room as loud as wanted."""
    trial = random_trial(seed)
    random = np.random.default_rng([1618, seed])
    unlocking, impulse = (10 ** (random.uniform(*db) / 20) for db in (UNLOCKING_DB, IMPULSE_DB))
    watch = replace(trial.watch, unlock_level=unlocking, impulse_level=impulse)
    return replace(trial, watch=watch, room=replace(trial.room, snr_db=snr_db))


def second_answer(job: Job) -> Answer:
    """Return what the ear says to a watch of the second simulator."""
    seed, snr_db = job
    return second_take(draw(seed, snr_db=snr_db).listen(30.0)).answer(seed)


def second_take(heard: Heard) -> Take:
    """Return a recording of the second simulator with what is true of it."""
    return Take(
        samples=heard.samples,
        rate_hz=heard.rate_hz,
        beats_per_hour=heard.truth.beats_per_hour,
        lift_deg=heard.truth.lift_deg,
        clock_ppm=heard.truth.clock_ppm,
        truth=second_truth(heard.truth),
        levels=second_levels(heard.truth),
    )


def second_truth(truth: SecondTruth) -> Truth:
    """Return the truth as the ear's figures are defined."""
    return Truth(
        rate_s_per_day=truth.rate_s_per_day,
        amplitude_deg=truth.trade_amplitude_deg,
        beat_error_ms=truth.beat_error_ms,
    )


def second_levels(truth: SecondTruth) -> Levels:
    """Return how loud the noises are."""
    return Levels(
        unlocking_db=truth.unlocking_db, impulse_db=truth.impulse_db, drop_db=truth.snr_db
    )
