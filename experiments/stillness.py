"""ABOVE_DB, PIECES, PIECE_FRAMES, LASTS_FRAMES, SPLIT_HZ: what is handling, what watch and room?

Watches in rooms of all kinds and real clocks should stay still; simulated hands should not: knocks,
scrapes, cloth, thumps, rumble and winding, at several loudnesses against the drop noise (whose
loudest millisecond has the rms 1), once each in 8 s. A sound is noticed if a frame is judged
handling while it goes on or within 0.1 s after. Each bar is moved with the others where they are.
"""

from collections.abc import Callable

import numpy as np
import soundfile
from scipy.signal import butter, sosfilt
from trial import CLIPS, RATE_HZ, clip_path, mark, some_watch, table, tuned

from sideshake.sound import stillness
from sideshake.sound.noise import RoomNoise, coloured
from sideshake.sound.simulate import loudest_ms_power, simulate

WATCHES, HANDS, BOUTS = 12, 8, 6
LENGTH_S, CHECK_S = 8.0, 0.1
ROOMS = {
    "quiet": RoomNoise(snr_db=60),
    "20 dB": RoomNoise(snr_db=20),
    "5 dB": RoomNoise(snr_db=5),
    "-5 dB": RoomNoise(snr_db=-5),
    "hum": RoomNoise(snr_db=20, hum=2),
    "rumble": RoomNoise(snr_db=20, rumble=2),
    "echo": RoomNoise(snr_db=30, echo=0.7),
    "missing": RoomNoise(snr_db=30, missing_share=0.3),
}
CLOCKS = (
    "1-21935-A",
    "1-48413-A",
    "2-131943-A",
    "2-140147-A",
    "2-141584-A",
    "3-150363-A",
    "3-171041-A",
    "4-175945-A",
    "4-181035-A",
    "5-201194-A",
    "5-209833-A",
)
METRONOMES = ("m184b", "m208a184b", "m208a")
LEVELS = {"faint": 0.3, "like ticks": 1.0, "loud": 4.0}

KNOCK = (4, 6, 8, 9, 10, 12, 15, 20)
LASTING = (1, 3, 4, 5, 6, 8, 10, 15)
RUMBLE = (2, 4, 6, 8, 10, 12, 15, 20)
PIECES = (2, 3, 4, 5, 6, 9)
PIECE_FRAMES = (30, 60, 120, 200)
LASTS = (2, 4, 7, 10, 15)

Random = np.random.Generator
usual = stillness.handling


def heard(
    samples: np.ndarray, rate_hz: int, hand_s: tuple[float, float] = (0.0, np.inf)
) -> np.ndarray:
    """Return how far each frame near the hand stands above the quietest piece (dB) at the end."""
    one = stillness.Stillness(rate_hz)
    one.feed(samples)
    seen: list[np.ndarray] = []
    with tuned(stillness, handling=lambda levels: seen.append(levels) or usual(levels)):
        assert one.still_for_s >= 0
    levels = seen[0]
    pieces = levels.shape[0] // stillness.PIECE_FRAMES
    whole = levels[: pieces * stillness.PIECE_FRAMES].reshape(pieces, -1, 3)
    before = round(samples.size / rate_hz / stillness.FRAME_S) - levels.shape[0]
    at_s = (before + np.arange(levels.shape[0])) * stillness.FRAME_S
    near = (at_s >= hand_s[0] - 0.01) & (at_s < hand_s[1] + 0.1)
    return (levels - whole.max(axis=1).min(axis=0))[near]


def still_share(samples: np.ndarray, rate_hz: int) -> float:
    """Return the share of the time called still, once a second and a half are heard (%)."""
    return float(100 * np.mean(course(samples, rate_hz)[15:] > 0))


def noise(count: int, low_hz: float, high_hz: float, random: Random) -> np.ndarray:
    """Return noise between two frequencies, rms 1."""
    sos = butter(2, (low_hz, high_hz), "bandpass", fs=RATE_HZ, output="sos")
    wave = sosfilt(sos, random.normal(size=count))
    return wave / np.sqrt(np.mean(wave**2))


def uneven(count: int, per_second: float, random: Random) -> np.ndarray:
    """Return an irregular loudness, rms 1."""
    knots = np.arange(0, count / RATE_HZ * per_second + 2)
    course = np.interp(
        np.arange(count) / RATE_HZ * per_second, knots, random.uniform(0.1, 1, knots.size) ** 1.5
    )
    return course / np.sqrt(np.mean(course**2))


def scrape(random: Random) -> np.ndarray:
    """Return a fingernail or a case edge on wood."""
    count = round(random.uniform(0.15, 1.5) * RATE_HZ)
    return noise(count, 900, 7000, random) * uneven(count, random.uniform(15, 60), random)


def cloth(random: Random) -> np.ndarray:
    """Return cloth that moves over the microphone."""
    count = round(random.uniform(0.1, 0.5) * RATE_HZ)
    return noise(count, 150, 4000, random) * np.hanning(count)


def thump(random: Random) -> np.ndarray:
    """Return a touch of the microphone: a dull blow."""
    time_s = np.arange(round(0.25 * RATE_HZ)) / RATE_HZ
    turn = 2 * np.pi * random.uniform(40, 150) * time_s
    return 2 * np.sin(turn) * np.exp(-time_s / random.uniform(0.03, 0.08))


def rumbling(random: Random) -> np.ndarray:
    """Return a hand that turns the holder: low and irregular."""
    count = round(random.uniform(0.3, 2) * RATE_HZ)
    return noise(count, 35, 200, random) * uneven(count, random.uniform(5, 20), random)


def knock(random: Random) -> np.ndarray:
    """Return a knock on the bench: a click and damped resonances."""
    time_s = np.arange(round(0.08 * RATE_HZ)) / RATE_HZ
    rings = sum(
        np.sin(2 * np.pi * random.uniform(150, 1800) * time_s + random.uniform(0, 6))
        * np.exp(-time_s / random.uniform(0.005, 0.02))
        for _ in range(5)
    )
    click = random.normal(size=time_s.size) * np.exp(-time_s / 0.002)
    return rings / 2 + click


def winding(random: Random) -> np.ndarray:
    """Return the crown being wound: clicks, 12 to 25 a second, for a second."""
    wave = np.zeros(RATE_HZ)
    for at in np.arange(0, 0.95, 1 / random.uniform(12, 25)):
        start = round((at + random.uniform(0, 0.005)) * RATE_HZ)
        since_s = np.arange(round(0.02 * RATE_HZ)) / RATE_HZ
        click = random.normal(size=since_s.size) * np.exp(-since_s / 0.003)
        wave[start : start + since_s.size] += click[: wave.size - start]
    return wave


def tap(random: Random) -> np.ndarray:
    """Return tweezers against the case: bright and short."""
    time_s = np.arange(round(0.03 * RATE_HZ)) / RATE_HZ
    return noise(time_s.size, 2000, 12000, random) * 3 * np.exp(-time_s / 0.004)


HANDLING: dict[str, Callable[[Random], np.ndarray]] = {
    "scrape": scrape, "cloth": cloth, "thump": thump, "rumbling": rumbling, "knock": knock,
    "winding": winding, "tap": tap,
}  # fmt: skip


def handled(name: str, level: float, seed: int, room: RoomNoise) -> np.ndarray:
    """Return one bout of handling."""
    random = np.random.default_rng([seed, 41])
    watch = simulate(some_watch(seed), duration_s=LENGTH_S, room=room, seed=seed)
    rms = np.sqrt(loudest_ms_power(watch.pulse, RATE_HZ))
    hand, start = level * rms * HANDLING[name](random), round(random.uniform(4.8, 5.2) * RATE_HZ)
    samples = watch.samples.copy()
    samples[start : start + hand.size] += hand
    return heard(samples, RATE_HZ, (start / RATE_HZ, (start + hand.size) / RATE_HZ))


def course(samples: np.ndarray, rate_hz: int) -> np.ndarray:
    """Return `still_for_s` every tenth of a second."""
    one, step = stillness.Stillness(rate_hz), round(CHECK_S * rate_hz)
    told = []
    for at in range(0, samples.size - step + 1, step):
        one.feed(samples[at : at + step])
        told.append(one.still_for_s)
    return np.array(told)


def busy_s(seed: int) -> float:
    """Return the longest stillness told while hands are at work for 20 s, pausing up to 1 s."""
    random = np.random.default_rng([seed, 43])
    watch = simulate(some_watch(seed), duration_s=24, room=RoomNoise(snr_db=30), seed=seed)
    rms = np.sqrt(loudest_ms_power(watch.pulse, RATE_HZ))
    samples, at = watch.samples.copy(), 2 * RATE_HZ
    while at < 22 * RATE_HZ:
        kind = random.choice([scrape, cloth, thump, rumbling, knock])
        hand = (rms * random.uniform(1, 4) * kind(random))[: samples.size - at]
        samples[at : at + hand.size] += hand
        at += hand.size + round(random.uniform(0.05, 1) * RATE_HZ)
    return float(course(samples, RATE_HZ)[round(2.5 / CHECK_S) : round(21.5 / CHECK_S)].max())


def laid_s(seed: int) -> float:
    """Return how long after a watch is laid on the microphone it is called still."""
    watch = simulate(some_watch(seed), duration_s=16, room=RoomNoise(snr_db=30), seed=seed)
    samples, before = watch.samples.copy(), 4 * RATE_HZ
    samples[:before] = watch.noise_rms * np.random.default_rng(seed).normal(size=before)
    moving = np.flatnonzero(course(samples, RATE_HZ) == 0)
    return CHECK_S * (float(moving[-1]) + 1) - 4


def real() -> dict[str, tuple[np.ndarray, int]]:
    """Return the real clocks and metronomes that are there."""
    paths = [clip_path(name) for name in CLOCKS]
    paths += [CLIPS / f"metronome_{name}_22050Hz_float.wav" for name in METRONOMES]
    return {path.stem: soundfile.read(path, dtype="float32") for path in paths if path.exists()}


def quiet(room: RoomNoise, seed: int) -> np.ndarray:
    """Return a watch that nobody touches."""
    return simulate(some_watch(seed), duration_s=LENGTH_S, room=room, seed=seed).samples


def fan(seed: int) -> np.ndarray:
    """Return a watch beside a fan that swells a little: pink noise, 3 dB up and down."""
    random = np.random.default_rng([seed, 3])
    watch = simulate(some_watch(seed), duration_s=LENGTH_S, room=RoomNoise(snr_db=40), seed=seed)
    rms = np.sqrt(loudest_ms_power(watch.pulse, RATE_HZ))
    course = 1 + 0.2 * np.sin(2 * np.pi * 0.7 * np.arange(watch.samples.size) / RATE_HZ)
    air = coloured(watch.samples.size, RATE_HZ, random, slope=1.0, low_hz=20.0)
    return watch.samples + (0.5 * rms * course * air).astype(np.float32)


Sounds = dict[str, list[np.ndarray]]


def stays() -> Sounds:
    """Return all that should stay still."""
    some = {
        name: [heard(quiet(room, k), RATE_HZ) for k in range(WATCHES)]
        for name, room in ROOMS.items()
    }
    some["fan"] = [heard(fan(k), RATE_HZ) for k in range(WATCHES)]
    return {**some, "real": [heard(*one) for one in real().values()]}


def hands(room: RoomNoise, *levels: float) -> Sounds:
    """Return handling of all kinds in a room."""
    return {
        name: [handled(name, level, k, room) for level in levels for k in range(HANDS)]
        for name in HANDLING
    }


def counts(sounds: Sounds, above_db: tuple[float, ...]) -> list[int]:
    """Return how many of each kind are noticed."""
    return [sum(bool(np.any(each > above_db)) for each in some) for some in sounds.values()]


def bars(still: Sounds, hand: Sounds) -> None:
    """Print what each bar does."""
    head = [f"{name} ({len(some)})" for name, some in {**still, **hand}.items()]
    for place, (name, values) in enumerate(
        {"knock": KNOCK, "lasting": LASTING, "rumble": RUMBLE}.items()
    ):
        rows = []
        for value in values:
            above = list(stillness.ABOVE_DB)
            above[place] = value
            rows.append([
                mark(value, stillness.ABOVE_DB[place]),
                *counts(still, tuple(above)), *counts(hand, tuple(above)),
            ])  # fmt: skip
        table(f"ABOVE_DB, {name}: noticed", [name, *head], rows)


def others() -> None:
    """Print what the other constants do."""
    room = ROOMS["20 dB"]
    for name, values in (
        ("PIECES", PIECES), ("PIECE_FRAMES", PIECE_FRAMES), ("LASTS_FRAMES", LASTS),
    ):  # fmt: skip
        rows = []
        for value in values:
            with tuned(stillness, **{name: value}):
                still, hand = stays(), hands(room, 1.0)
                laid, busy = (max(one(k) for k in range(BOUTS)) for one in (laid_s, busy_s))
            rows.append([
                mark(value, getattr(stillness, name)),
                sum(counts(still, stillness.ABOVE_DB)), counts(still, stillness.ABOVE_DB)[-1],
                *counts(hand, stillness.ABOVE_DB), laid, busy,
            ])  # fmt: skip
        table(name, [name, "watches", "real", *HANDLING, "laid, s", "busy, s"], rows)


def main() -> None:
    """Print what stays still and what is noticed."""
    still = stays()
    bars(still, hands(ROOMS["20 dB"], *LEVELS.values()))
    for room in ("quiet", "20 dB", "5 dB"):
        found = {name: hands(ROOMS[room], level) for name, level in LEVELS.items()}
        table(f"noticed, of {HANDS}, room: {room}", ["", *HANDLING], [
            [name, *counts(some, stillness.ABOVE_DB)] for name, some in found.items()
        ])  # fmt: skip
    others()
    table("real clocks: called still, % of the time", ["clip", "%"], [
        [name, still_share(*one)] for name, one in real().items()
    ])  # fmt: skip


if __name__ == "__main__":
    main()
