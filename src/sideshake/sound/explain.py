"""Which noises of tick and tock are unlocking, impulse and drop: both sides explained together.

Each way to name the noises of a side is a `Naming`. A naming of tick and one of tock are weighed
together by how probable such noises are: the priors below say what a balance allows. All are
assumptions from the trade's knowledge (trade-facts 3.1.1 to 3.1.7) and memory; what they rest on
beside that is said in experiments/README.md.
Times in seconds against the arrival, levels in dB.
"""

import math

import numpy as np
from numpy.typing import NDArray
from scipy.special import log_ndtr, logsumexp, ndtr

from sideshake.sound.choices import NOTHING, Explanation, Naming, SidesExplained
from sideshake.sound.event import Event, decibels
from sideshake.sound.recurring import ECHO_S, again_between

Floats = NDArray[np.float64]

SWING_DEG = (245.0, 60.0)
"""How far balances swing (mean, standard deviation), at the usual lift angle below."""
LIFT_DEG = 52.0
LEAST_DEG, MOST_DEG = 80.0, 375.0
"""What is looked at, wide enough for lift angles from 38 to 60 degrees."""
UNLOCK_DB, IMPULSE_DB = (-13.0, 9.0, 6.0), (-7.0, 7.5)
"""How loud unlocking and impulse are against the drop: the mean, and how far they scatter.
Unlocking farther down than up: it is weak to medium (trade-facts 3.1.1), often faint (memory)."""
IMPULSE_SHARE = (0.32, 0.13)
"""Where on the way from unlocking to drop the impulse is heard."""
SIDES_SPAN, SIDES_SHARE, SIDES_DB = 0.03, 0.07, 5.0
"""How far tick and tock differ: in the logarithm of the span, in the impulse's place, in levels."""
MASKED = 0.12
"""How often the impulse cannot be parted from unlocking."""
LOUDER_DB = 4.0
"""How far (standard deviation) a noise that is neither impulse nor banking outdoes the drop."""
BANKING_S = 3e-3
BANKING_RATE, LATE_RATE = 0.6, 0.02
ECHO_DB = (-17.0, 7.0)
"""After the drop: banking or a double drop at once, then echoes so loud against it, then hardly
anything more."""
DOUBLE_S, DOUBLE_UNDER_DB, DOUBLE_RATE = 1.5e-3, 3.0, 0.4
"""A noise so soon after one hardly fainter is its second half: a bounce, or two resonances."""
BETWEEN_RATE, NEAR_DROP_RATE, NEAR_DROP_DB = 0.12, 0.01, -12.0
"""Further noises between unlocking and drop; of these, one so loud that comes just before the drop
would be the drop."""
BEFORE_RATE, CHANCE_RATE, CHANCE_SIGMAS = 3e-3, 0.05, 5.5
"""Noises before unlocking: hardly any but what chance makes in the room's noise."""
AGAIN_NATS = 4.0
"""A noise on the way to the drop that comes alike on tick and tock has one cause: it is so much
less improbable on the second side. And so is one that follows another noise as an echo follows the
drop: every other time it comes within 0.6 ms and 12 dB of where it should, not anywhere."""
EXTRA_SPREAD_DB, EXTRA_SPREAD_MS = 25.0, 10.0
"""A noise that nothing foretells comes anywhere in so many dB and ms."""
MOST_NAMINGS, MOST_EVENTS = 60, 10
RANGE_DB = 45.0
"""What lies so far under the loudest noise is no noise of the watch: in a very quiet room the ear's
own filters ring before a sharp one (some 50 dB down); no unlocking is so faint (memory)."""
MOST_CHOICES, LEAST_PROBABLE = 4, 1e-4
ALIKE_SPAN = 0.04
"""Choices whose spans differ by less than this share are one."""


def explained(
    tick: list[Event], tock: list[Event], *, beat_s: float, deepest: tuple[float, float]
) -> Explanation:
    """Return what the noises of tick and tock may be.

    `deepest` : the faintest level (a ratio, as `Event.level`) that would be heard on each side
    """
    events = (loudest(tick), loudest(tock))
    sides = [
        namings(some, beat_s=beat_s, deepest_db=decibels(limit))
        for some, limit in zip(events, deepest, strict=True)
    ]
    limit_db = max(
        decibels(limit / max((event.level for event in some), default=limit))
        for some, limit in zip(events, deepest, strict=True)
    )
    if not sides[0] or not sides[1]:
        return Explanation(events=events, choices=(), hidden=1.0, limit_db=limit_db)
    scores = joint_scores(table(sides[0], 1), table(sides[1], 0), beat_s)
    evidence = float(logsumexp(scores))
    named = [[(one.unlock, one.impulse, one.drop) for one in side] for side in sides]
    scores = scores + AGAIN_NATS * again_between(events, named)
    probability = np.exp(scores - logsumexp(scores))
    seen = [np.array([one.unlock >= 0 for one in side]) for side in sides]
    both = seen[0][:, None] & seen[1]
    return Explanation(
        events=events,
        choices=gathered(sides, np.where(both, probability, 0.0)),
        hidden=float(probability[~both].sum()),
        evidence=evidence,
        limit_db=limit_db,
    )


def loudest(events: list[Event]) -> tuple[Event, ...]:
    """Return the loudest of the events, in order of time."""
    floor = max((event.level for event in events), default=0.0) * 10 ** (-RANGE_DB / 10)
    heard = [event for event in events if event.level > floor]
    kept = sorted(heard, key=lambda event: -event.level)[:MOST_EVENTS]
    return tuple(sorted(kept, key=lambda event: event.at_s))


def table(namings: list[Naming], axis: int) -> dict[str, Floats]:
    """Return the namings as columns of numbers that stand along the other axis than `axis`."""
    names = ("span_s", "share", "impulse_s", "unlock_db", "impulse_db", "limit_db", "score")
    return {
        name: np.expand_dims(np.array([getattr(one, name) for one in namings]), axis)
        for name in names
    }


def joint_scores(tick: dict[str, Floats], tock: dict[str, Floats], beat_s: float) -> Floats:
    """Return the logarithm of the probability of each pair of namings, shape (ticks, tocks)."""
    seen = [np.isfinite(side["span_s"]) for side in (tick, tock)]
    case = np.select(
        [seen[0] & seen[1], seen[0] & ~seen[1], ~seen[0] & seen[1]],
        [
            both_scores(tick, tock, beat_s),
            one_score(tick, tock, beat_s),
            one_score(tock, tick, beat_s),
        ],
        none_score(tick, tock, beat_s),
    )
    alike = impulses_alike(tick["impulse_db"], tock["impulse_db"])
    return np.asarray(case + tick["score"] + tock["score"] + alike)


def impulses_alike(one_db: Floats, other_db: Floats) -> Floats:
    """Return how much more probable two impulses are together than each for itself: where one is
    loud against its drop, so is the other."""
    alone = log_normal(one_db, *IMPULSE_DB) + log_normal(other_db, *IMPULSE_DB)
    return np.asarray(np.nan_to_num(log_pair(one_db, other_db, IMPULSE_DB, SIDES_DB) - alone))


def both_scores(tick: dict[str, Floats], tock: dict[str, Floats], beat_s: float) -> Floats:
    """Return the score of pairs in which unlocking is heard on both sides."""
    with np.errstate(invalid="ignore", divide="ignore"):
        usual_s = np.sqrt(tick["span_s"] * tock["span_s"])
        score = span_score(usual_s, beat_s) - np.log(usual_s * 1e3)
        score = score + log_normal(np.log(tock["span_s"] / tick["span_s"]), 0.0, SIDES_SPAN)
        score = score + share_score(tick["share"], tock["share"])
        score = score + log_unlock((tick["unlock_db"] + tock["unlock_db"]) / 2)
        return score + log_normal(tock["unlock_db"] - tick["unlock_db"], 0.0, SIDES_DB)


def share_score(one: Floats, other: Floats) -> Floats:
    """Return the score of the impulse's place on both sides; a place unknown (NaN) is free.

    Where both are known, of their mean and of their difference.
    """
    both = log_pair(one, other, IMPULSE_SHARE, SIDES_SHARE)
    alone = [
        np.where(np.isfinite(each), log_normal(each, *IMPULSE_SHARE), 0.0) for each in (one, other)
    ]
    return np.asarray(np.where(np.isfinite(one + other), both, alone[0] + alone[1]))


def one_score(seen: dict[str, Floats], hidden: dict[str, Floats], beat_s: float) -> Floats:
    """Return the score of pairs in which unlocking is heard on side `seen` only."""
    with np.errstate(invalid="ignore", divide="ignore"):
        share = 1 - hidden["impulse_s"] / seen["span_s"]
        place = share_score(seen["share"], share) - np.log(seen["span_s"] * 1e3)
        place = np.where(np.isfinite(share), place, share_score(seen["share"], share))
        score = span_score(seen["span_s"], beat_s) + log_unlock(seen["unlock_db"])
        unheard = log_ndtr((hidden["limit_db"] - seen["unlock_db"]) / SIDES_DB)
    return np.asarray(score + place + unheard)


def none_score(tick: dict[str, Floats], tock: dict[str, Floats], beat_s: float) -> Floats:
    """Return the score of pairs in which unlocking is heard on neither side."""
    limit_db = np.minimum(tick["limit_db"], tock["limit_db"])
    score = log_unheard(limit_db)
    swings = np.linspace(LEAST_DEG + 5, MOST_DEG - 5, 40)
    spans_s = np.array([span_of(float(swing), beat_s) for swing in swings])[:, None, None]
    weight = log_normal(swings, *SWING_DEG) + np.log(swings[1] - swings[0])
    with np.errstate(invalid="ignore"):
        shares = [1 - side["impulse_s"] / spans_s for side in (tick, tock)]
        counted = sum(np.isfinite(share) for share in shares)
        place = share_score(*shares) - counted * np.log(spans_s * 1e3)
    return np.asarray(score + logsumexp(place + weight[:, None, None], axis=0))


def log_unlock(level_db: Floats) -> Floats:
    """Return the logarithm of the prior density of unlocking's level: two halves of normal ones."""
    mean, down, up = UNLOCK_DB
    sigma = np.where(level_db < mean, down, up)
    return np.asarray(
        -(((level_db - mean) / sigma) ** 2) / 2 - math.log((down + up) * math.sqrt(math.pi / 2))
    )


def log_unheard(limit_db: Floats) -> Floats:
    """Return the logarithm of the probability that unlocking is fainter than a level."""
    mean, down, up = UNLOCK_DB
    below = math.log(2 * down / (down + up)) + log_ndtr((limit_db - mean) / down)
    above = np.log1p(-2 * up / (down + up) * ndtr(-np.maximum(limit_db - mean, 0.0) / up))
    return np.asarray(np.where(limit_db < mean, below, above))


def span_score(span_s: Floats, beat_s: float) -> Floats:
    """Return the logarithm of the prior density (a ms) of a time from unlocking to drop."""
    turn = np.pi * span_s / (2 * beat_s)
    swing = LIFT_DEG / (2 * np.sin(turn))
    steepness = swing / np.tan(turn) * np.pi / (2 * beat_s) * 1e-3
    return np.asarray(log_normal(swing, *SWING_DEG) + np.log(steepness))


def gathered(sides: list[list[Naming]], probability: Floats) -> tuple[SidesExplained, ...]:
    """Return the choices, the most probable first; those of like span count together."""
    left = probability.copy()
    spans = [np.array([one.span_s for one in side]) for side in sides]
    mean = (spans[0][:, None] + spans[1]) / 2
    choices: list[SidesExplained] = []
    while len(choices) < MOST_CHOICES and left.max() > LEAST_PROBABLE:
        a, b = np.unravel_index(np.argmax(left), left.shape)
        with np.errstate(invalid="ignore"):
            alike = np.abs(np.log(mean / mean[a, b])) < ALIKE_SPAN
        share = float(left[alike].sum())
        choices.append(
            SidesExplained(tick=sides[0][int(a)], tock=sides[1][int(b)], probability=share)
        )
        left[alike] = 0.0
    return tuple(sorted(choices, key=lambda choice: -choice.probability))


def namings(events: tuple[Event, ...], *, beat_s: float, deepest_db: float) -> list[Naming]:
    """Return the ways to name a side's noises, the more probable ones."""
    shortest, longest = (span_of(swing, beat_s) for swing in (MOST_DEG, LEAST_DEG))
    found = []
    for drop in range(len(events)):
        near = [
            at for at in range(drop) if shortest < events[drop].at_s - events[at].at_s < longest
        ]
        for unlock in (*near, NOTHING):
            for impulse in (*(at for at in range(max(unlock, -1) + 1, drop)), NOTHING):
                found.append(naming(events, unlock, impulse, drop, deepest_db=deepest_db))
    return sorted(found, key=lambda one: -one.score)[:MOST_NAMINGS]


def span_of(swing_deg: float, beat_s: float) -> float:
    """Return the time from unlocking to drop at an amplitude, with the usual lift angle."""
    return 2 * beat_s / math.pi * math.asin(LIFT_DEG / 2 / swing_deg)


def naming(
    events: tuple[Event, ...], unlock: int, impulse: int, drop: int, *, deepest_db: float
) -> Naming:
    """Return one naming with its score."""
    level_db = [decibels(event.level) for event in events]
    drop_db, limit_db = level_db[drop], deepest_db - level_db[drop]
    span_s = events[drop].at_s - events[unlock].at_s if unlock >= 0 else math.nan
    impulse_s = events[drop].at_s - events[impulse].at_s if impulse >= 0 else math.nan
    impulse_db = level_db[impulse] - drop_db if impulse >= 0 else math.nan
    if impulse >= 0:
        score = float(log_normal(impulse_db, *IMPULSE_DB))
    else:
        unheard = math.exp(log_ndtr((limit_db - IMPULSE_DB[0]) / IMPULSE_DB[1]))
        score = math.log(MASKED + (1 - MASKED) * unheard)
    if unlock >= 0 and impulse >= 0:
        score -= math.log(1e3 * span_s)
    first = unlock if unlock >= 0 else (impulse if impulse >= 0 else drop)
    for at in range(len(events)):
        if at not in (unlock, impulse, drop):
            score += extra_score(events, at, first=first, drop=drop)
    return Naming(
        unlock=unlock,
        impulse=impulse,
        drop=drop,
        span_s=span_s,
        share=1 - impulse_s / span_s,
        impulse_s=impulse_s,
        unlock_db=level_db[unlock] - drop_db if unlock >= 0 else math.nan,
        impulse_db=impulse_db,
        limit_db=limit_db,
        score=score,
    )


def extra_score(events: tuple[Event, ...], at: int, *, first: int, drop: int) -> float:
    """Return the score of a noise that is neither unlocking, impulse nor drop."""
    one, last = events[at], events[drop]
    after_s = one.at_s - last.at_s
    above_db = decibels(one.level / last.level)
    anywhere = -math.log(EXTRA_SPREAD_DB * EXTRA_SPREAD_MS)
    if at < first:
        chance = one.sigmas < CHANCE_SIGMAS
        return anywhere + math.log(CHANCE_RATE if chance else BEFORE_RATE)
    if 0 < after_s < BANKING_S:
        return anywhere + math.log(BANKING_RATE)
    louder = -((max(0.0, above_db) / LOUDER_DB) ** 2) / 2
    if is_double(events, at):
        return anywhere + math.log(DOUBLE_RATE) + louder
    if at < drop:
        near = -after_s < BANKING_S and above_db > NEAR_DROP_DB
        return anywhere + math.log(NEAR_DROP_RATE if near else BETWEEN_RATE) + louder
    if after_s > ECHO_S:
        return anywhere + math.log(LATE_RATE) + louder
    echo = float(log_normal(above_db, *ECHO_DB))
    return echo - math.log(EXTRA_SPREAD_MS) + math.log(BANKING_RATE)


def is_double(events: tuple[Event, ...], at: int) -> bool:
    """Return whether a noise comes right after one that is hardly fainter."""
    return any(
        0 < events[at].at_s - other.at_s < DOUBLE_S
        and decibels(events[at].level / other.level) < DOUBLE_UNDER_DB
        for other in events
    )


def log_pair(one: Floats, other: Floats, usual: tuple[float, float], apart: float) -> Floats:
    """Return the logarithm of the density of what tick and tock have in common: of its mean, which
    is normal as `usual`, and of how far they differ."""
    return np.asarray(log_normal((one + other) / 2, *usual) + log_normal(other - one, 0.0, apart))


def log_normal(value: float | Floats, mean: float | Floats, sigma: float) -> float | Floats:
    """Return the logarithm of the normal density."""
    return -(((value - mean) / sigma) ** 2) / 2 - math.log(sigma * math.sqrt(2 * math.pi))
