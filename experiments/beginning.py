"""How well a beginning can be told by one who knows when each single beat begins.

The beats of clear watches of the second simulator (unlocking within 20 dB of the drop, the drop at
least 15 dB above the room) are aligned by the truth of each single noise, which no ear has; then
the ear is asked where their averages begin. What is left is what the sound itself leaves open: how
a noise swells. The error of tock less that of tick is the error of the beat error.
"""

import numpy as np
from ticks import draw, heard
from trial import table

from sideshake.sound.average import turned_back
from sideshake.sound.began import began_at, repeated
from sideshake.sound.onset import CLOSE_S
from sideshake.sound.profile import envelope_powers, turned
from sideshake.sound.template import AlignedTicks, turned_side

EACH, FIRST_SEED, DURATION_S = 20, 6000, 30.0
ROOMS_DB = (25.0, 20.0, 15.0)
FAINTEST_DB = -20.0
AROUND_S = 3e-3


def errors_us(seed: int, snr_db: float) -> list[float] | None:
    """Return how far tock's beginning is off against tick's, of unlocking and of drop."""
    sound = draw(seed, snr_db=snr_db).listen(DURATION_S)
    truth, rate_hz = sound.truth, sound.rate_hz
    if min(truth.unlocking_db) < FAINTEST_DB:
        return None
    case = heard(sound.samples, rate_hz, truth.beats_per_hour, (0.0, snr_db, "second"))
    if case is None:
        return None
    times = [truth.file_s(each) * rate_hz for each in (truth.unlocking_s, truth.drop_s)]
    middle = (times[0] + times[1]) / 2
    off = np.array([[side_us(case.ticks, side, each, middle) for each in times] for side in (0, 1)])
    return [float(each) for each in off[1] - off[0]]


def side_us(ticks: AlignedTicks, one: int, true: np.ndarray, middle: np.ndarray) -> float:
    """Return the error of a noise's beginning on a side whose beats are aligned by the truth."""
    windows, rows = ticks.windows, ticks.rows(one)
    if rows.size == 0:
        return np.nan
    powers = envelope_powers(windows.spectra, windows)
    beats = turned(windows, powers, ticks.shift, rows)
    share = np.ones((1, rows.size), np.float32)
    times_s = windows.start[rows] / windows.span.rate_hz
    along = np.stack([times_s, np.zeros(rows.size)])
    side = turned_side(windows, powers, beats, along, share)
    moment = windows.start[rows] + windows.span.lead + beats.late
    nearest = np.argmin(np.abs(middle - moment[:, None]), axis=1)
    since = (true[nearest] - moment) * side.rate_hz / windows.span.rate_hz
    mean = float(since.mean())
    late = np.rint(since - mean)
    first = round(side.lead + mean - AROUND_S * side.rate_hz)
    if first < 0:
        return np.nan
    waves = turned_back(side.waves[:, first:], late.astype(np.intp))
    near = side.lead + mean - first
    before, after = (round(near + way * side.rate_hz) for way in (-CLOSE_S[0], CLOSE_S[1]))
    alike = repeated(waves[:, before:after], side.noise)
    at = float(began_at(side, waves, near, alike=alike).at[0])
    return 1e6 * (at - near + float(np.mean(since - mean - late))) / side.rate_hz


def main() -> None:
    """Print the table."""
    rows = []
    for snr_db in ROOMS_DB:
        off = [errors_us(seed, snr_db) for seed in range(FIRST_SEED, FIRST_SEED + EACH)]
        found = np.abs(np.array([each for each in off if each is not None]))
        for name, part in zip(("unlocking", "drop"), found.T, strict=True):
            clear = part[np.isfinite(part)]
            rows.append(
                [f"{snr_db:g} dB, {name}", clear.size, *np.quantile(clear, (0.5, 0.9, 0.95))]
            )
    title = "Each beat's own moment known: tock's beginning against tick's, microseconds"
    table(title, ["room", "watches", "median", "90 % within", "95 % within"], rows)


if __name__ == "__main__":
    main()
