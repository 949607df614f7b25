"""LEAST_SLOW_BEATS: how many beats must a clock slower than any watch be heard for, when told?

Simulated clocks that beat once a second, in ten rooms each, and pieces of real ones, told 3600: how
many are read, and how far off their beat is at worst.
"""

import numpy as np
from trial import RATE_HZ, clip, clip_path, pieces, table

from sideshake.core.errors import InputError, NotEnough
from sideshake.sound import segment, told
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, simulate

COUNTS = (5, 6, 8, 10, 12, 16, 20, 30)
SNR_DB = (20.0, 10.0, 5.0)
SECONDS = ("2-141584-A", "4-181035-A")


def beat_s(samples: np.ndarray, rate_hz: int) -> float | None:
    """Return the beat heard, None if there is no reading."""
    try:
        heard = segment.hear_segment(samples, rate_hz, start_s=0.0, beats_per_hour=3600.0)
    except (NotEnough, InputError):
        return None
    return heard.lock.line.beat


def row(count: int) -> list[object]:
    """Return how many are read of each kind, and the worst beat in ppm."""
    cells: list[object] = [count]
    for snr_db in SNR_DB:
        found = [
            beat_s(
                simulate(
                    SimulatedWatch(beats_per_hour=3600.0, beat_error_ms=seed),
                    duration_s=count + 0.5,
                    room=RoomNoise(snr_db=snr_db),
                    seed=seed,
                ).samples,
                RATE_HZ,
            )
            for seed in range(10)
        ]
        read = [each for each in found if each is not None]
        worst = max((abs(each - 1.0) * 1e6 for each in read), default=float("nan"))
        cells.append(f"{len(read)} of 10, {worst:.0f} ppm")
    return cells


def main() -> None:
    """Print the table; the bar itself is taken away first."""
    told.LEAST_SLOW_BEATS = 0
    head = ["beats", *(f"{each:.0f} dB: read, worst" for each in SNR_DB)]
    table("Clocks that beat once a second", head, [row(count) for count in COUNTS])
    for name in SECONDS:
        if clip_path(name).exists():
            whole = clip(name, 1.0)
            for some in (whole, *pieces(whole, 4.0)):
                print(
                    name,
                    f"{some.samples.size / some.rate_hz:.1f} s",
                    beat_s(some.samples, some.rate_hz),
                )


if __name__ == "__main__":
    main()
