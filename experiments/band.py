"""LOW_HZ and HIGH_HZ: which part of the sound is listened to?

A lower edge lets hum, rumble and voices in, a higher one throws tick away. Watches in five rooms;
for each edge: how many were found with the right beat, and how far off their arrivals are.
"""

import numpy as np
from scipy.signal import butter, sosfilt
from trial import (
    RATE_HZ,
    Sound,
    arrival_error_us,
    expected,
    mark,
    some_watch,
    table,
    ticking_clips,
    tuned,
)

from sideshake.core.errors import NotEnough
from sideshake.sound import band, windows
from sideshake.sound.arrival import find_arrivals
from sideshake.sound.noise import RoomNoise, knocks
from sideshake.sound.simulate import Recorder, Simulation, simulate

WATCHES = 8
ROOMS = {
    "white 20 dB": RoomNoise(snr_db=20),
    "white 0 dB": RoomNoise(snr_db=0),
    "hum x3": RoomNoise(snr_db=20, hum=3.0),
    "rumble x5": RoomNoise(snr_db=20, rumble=5.0),
    "speech x0.5": RoomNoise(snr_db=20, speech=0.5),
    "buzz": RoomNoise(snr_db=20),
    "handling": RoomNoise(snr_db=20),
    "voice": RoomNoise(snr_db=20),
    "16 kHz, 10 dB": RoomNoise(snr_db=10),
}
LOWS_HZ = (50.0, 200.0, 500.0, 900.0, 1500.0, 2500.0, 4000.0)
HIGHS_HZ = (5000.0, 8000.0, 12000.0, 16000.0, 22000.0, 24000.0)


def heard_watches() -> dict[str, list[tuple[Sound, Simulation]]]:
    """Return the watches in each room, with their truth."""
    rooms = {}
    for name, room in ROOMS.items():
        recorder = Recorder(rate_hz=16000 if name.startswith("16") else RATE_HZ)
        rooms[name] = []
        for seed in range(WATCHES):
            watch = some_watch(seed)
            truth = simulate(watch, duration_s=15, room=room, recorder=recorder, seed=seed)
            samples = truth.samples + extra(name, truth, seed)
            sound = Sound(name, samples, truth.rate_hz, watch.beat_s)
            rooms[name].append((sound, truth))
    return rooms


def extra(name: str, truth: Simulation, seed: int) -> np.ndarray:
    """Return what the simulator's room does not have: buzz, handling, a voice without hiss."""
    random = np.random.default_rng([seed, 31])
    count, drop_rms = truth.samples.size, 10 * truth.noise_rms  # all these rooms are at 20 dB
    if name == "buzz":
        turn = 2 * np.pi * 100 * np.arange(count) / RATE_HZ
        wave = sum(np.cos(k * turn + random.uniform(0, 6)) / k**0.5 for k in range(1, 30))
    elif name == "handling":
        thump = sosfilt(
            butter(2, 700, fs=RATE_HZ, output="sos"), knocks(count, RATE_HZ, 900, random)
        )
        return (5 * drop_rms / np.std(thump) * thump).astype(np.float32)
    elif name == "voice":
        knots = np.arange(0, count + 12000, 12000)
        loud = np.interp(np.arange(count), knots, random.uniform(0, 1, knots.size) ** 2)
        turn = 2 * np.pi * 130 * np.arange(count) / RATE_HZ
        wave = loud * sum(np.cos(k * turn + random.uniform(0, 6)) / k for k in range(1, 32))
    else:
        return np.zeros(count, np.float32)
    return (2 * drop_rms / np.std(wave) * wave).astype(np.float32)


def found(sound: Sound, truth: Simulation | None) -> float:
    """Return the error of arrivals (us, 0 without a truth); NaN if the beat is not found."""
    try:
        tempo, cut = expected(sound.samples, sound.rate_hz)
    except NotEnough:
        return np.nan
    if not sound.is_beat(tempo.period_s / 2):
        return np.nan
    return 0.0 if truth is None else arrival_error_us(truth, *find_arrivals(cut))


def row(rooms: dict[str, list[tuple[Sound, Simulation]]], clips: list[Sound]) -> list[str]:
    """Return, a room each, how many were found and the median error; and how many clips."""
    cells = []
    for some in rooms.values():
        errors = np.array([found(*each) for each in some])
        there = np.isfinite(errors)
        error = f"{np.median(errors[there]):.2g}" if there.any() else "-"
        cells.append(f"{np.count_nonzero(there)}: {error}")
    return [*cells, str(sum(np.isfinite(found(clip, None)) for clip in clips))]


def main() -> None:
    """Print what each edge of the band makes of the same watches."""
    rooms, clips = heard_watches(), ticking_clips()
    head = [*ROOMS, f"clips ({len(clips)})"]
    for name, values, modules, where in (
        ("LOW_HZ", LOWS_HZ, (band, windows), "everywhere"),
        ("HIGH_HZ", HIGHS_HZ, (band, windows), "everywhere"),
        ("HIGH_HZ", HIGHS_HZ, (band,), "for the tempo only"),
    ):
        chosen, rows = getattr(band, name), []
        for value in values:
            with tuned(*modules, **{name: value}):
                rows.append([mark(value, chosen), *row(rooms, clips)])
        title = f"{name}, {where}: of {WATCHES} watches a room, found: arrival error us"
        table(title, [name, *head], rows)


if __name__ == "__main__":
    main()
