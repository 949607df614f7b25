"""How well an unbiased teller could know a beginning whose sound is unknown: no ear.

A noise is two to five resonances struck by a half sine of force, their frequencies, decays, phases
and loudness and the force's length unknown, 75 beats of a side averaged and aligned by the truth.
The Fisher information of all these together, priors of the size they were drawn with added, gives
the least standard deviation of when the force begins (Kay, Fundamentals of Statistical Signal
Processing: Estimation Theory, 1993, ch. 3); white noise in the average, and what is new on each
beat besides. The beat error hangs on the difference of two such. It is no bound for a teller that
may be early or late on both sides alike, as the ear's is.
"""

import numpy as np
from ticks import Force
from trial import table

RATE_HZ, BEATS, DRAWN = 48000.0, 75, 400
ROOMS_DB = (25.0, 20.0, 15.0)
UNLOCKING_DB, NEW_SHARE = (-20.0, -6.0), (0.15, 0.5)
LENGTH_S, DECAY_S, HZ = (15e-6, 110e-6), (0.15e-3, 0.8e-3), (2500.0, 14000.0)
PRIOR_BEGIN_S, PRIOR_LENGTH_S, PRIOR_DECAY, PRIOR_HZ = 0.3e-3, 28e-6, 0.5, 0.5
"""Standard deviations: of the beginning, of the force's length, of the logarithm of a decay; of a
frequency as a share of it."""
STEP_S = 2e-7


def even(rng: np.random.Generator, span: tuple[float, float], count: int | None = None):
    """Return numbers whose logarithms are uniform."""
    return np.exp(rng.uniform(*np.log(span), count))


def wave(values: np.ndarray, since_s: np.ndarray) -> np.ndarray:
    """Return the noise: begin, length, then real and imaginary weights, log decay rates, Hz."""
    real, imaginary, rate, hz = np.split(values[2:], 4)
    poles = -np.exp(rate) + 2j * np.pi * hz
    answer = Force("contact", values[1]).answer(poles, (since_s - values[0])[:, None])
    return np.asarray((answer @ (real + 1j * imaginary)).real)


def drawn(rng: np.random.Generator) -> np.ndarray:
    """Return a noise's values."""
    count = int(rng.integers(2, 6))
    decay_s, hz = even(rng, DECAY_S, count), even(rng, HZ, count)
    loud = 10 ** (rng.uniform(-10, 0, count) / 20) / np.sqrt(decay_s)
    weight = loud * np.exp(2j * np.pi * rng.random(count))
    begin_length = [0.0, float(even(rng, LENGTH_S))]
    return np.concatenate([begin_length, weight.real, weight.imag, -np.log(decay_s), hz])


def least_us(rng: np.random.Generator, snr_db: float) -> float:
    """Return the least standard deviation of a beginning (us), the drop so far above the room."""
    values, new = drawn(rng), rng.uniform(*NEW_SHARE)
    since_s = (np.arange(-48, 96) + rng.random()) / RATE_HZ
    sound = wave(values, since_s)
    loudest = np.convolve(sound**2, np.full(48, 1 / 48)).max()
    room = loudest * 10 ** (-(snr_db + rng.uniform(*UNLOCKING_DB)) / 10)
    own = np.convolve(sound**2, np.full(9, 1 / 9), "same") * new * (since_s > 0)
    count = (values.size - 2) // 4
    steps = np.abs(values) * 1e-4
    steps[:2], steps[2 : 2 + 2 * count] = STEP_S, 1e-3 * np.abs(values[2 : 2 + 2 * count]).max()
    moves = np.diag(steps)
    change = [wave(values + move, since_s) - wave(values - move, since_s) for move in moves]
    slopes = np.array(change) / (2 * steps[:, None]) * np.sqrt((1 - new) * BEATS / (room + own))
    prior = np.zeros(values.size)
    prior[:2] = 1 / PRIOR_BEGIN_S, 1 / PRIOR_LENGTH_S
    prior[2 + 2 * count :] = np.repeat(1 / PRIOR_DECAY, 2 * count)
    prior[2 + 3 * count :] = 1 / (PRIOR_HZ * values[2 + 3 * count :])
    scale = np.linalg.norm(slopes, axis=1) + prior
    told = (slopes / scale[:, None]) @ (slopes / scale[:, None]).T + np.diag((prior / scale) ** 2)
    return float(1e6 * np.sqrt(np.linalg.pinv(told, rcond=1e-12)[0, 0]) / scale[0])


def main() -> None:
    """Print the table."""
    rows = []
    for snr_db in ROOMS_DB:
        rng = np.random.default_rng(5)
        apart = np.hypot(*(np.array([least_us(rng, snr_db) for _ in range(DRAWN)]) for _ in "ab"))
        within = np.quantile(np.abs(apart * rng.standard_normal(DRAWN)), (0.5, 0.95))
        rows.append([f"{snr_db:g} dB", *np.quantile(apart, (0.5, 0.9)), *within])
    columns = ["room", "half below", "90 % below", "errors: half within", "95 % within"]
    table("Least standard deviation of tock's beginning against tick's, us", columns, rows)


if __name__ == "__main__":
    main()
