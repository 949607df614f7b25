"""What the ear answers to a few simulated sounds, written down: it may not change in silence.

    python tests/ear_answers.py              after EAR in src/sideshake/core/version.py was raised
    python tests/ear_answers.py --same-ear   when only the simulated sounds were changed, or when
                                             an ear that nobody has used yet is still being made

writes `ear_answers.json` anew. Without `--same-ear` it refuses other answers under the same number.
"""

import json
import math
import sys
from pathlib import Path
from typing import Any

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.core.version import EAR
from sideshake.sound.listener import Listener
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, Recorder, SimulatedWatch, simulate
from sideshake.timing.reading import read

KEPT = Path(__file__).with_suffix(".json")
RATE_HZ = 48000
DURATION_S = 20.0
LIFT = Measured(52.0, 1.0)
DIGITS = 6
WITHIN_U, WITHIN_SHARE = 0.02, 0.02
"""Another processor or library moves the last digits of a figure; 2 % of its uncertainty is far
more than that, and far less than anybody would see. An uncertainty may differ by 2 % of itself."""

SOUNDS = {
    "slow, clear": (
        SimulatedWatch(beats_per_hour=18000, rate_s_per_day=12.0, amplitude_deg=251.0),
        RoomNoise(),
        11,
    ),
    "slow, out of beat, noisy": (
        SimulatedWatch(
            beats_per_hour=18000, rate_s_per_day=-43.0, amplitude_deg=205.0, beat_error_ms=1.7
        ),
        RoomNoise(snr_db=14, hum=0.5),
        12,
    ),
    "usual, beats missing": (
        SimulatedWatch(
            beats_per_hour=21600, rate_s_per_day=4.0, amplitude_deg=283.0, beat_error_ms=0.3
        ),
        RoomNoise(snr_db=20, missing_share=0.1),
        13,
    ),
    "fast, a bent wheel": (
        SimulatedWatch(
            beats_per_hour=28800,
            rate_s_per_day=-7.0,
            amplitude_deg=296.0,
            wheels=(DisturbingWheel(period_s=5.0, delay_ms=0.2, amplitude_deg=8.0),),
        ),
        RoomNoise(snr_db=25, knocks_per_minute=6),
        14,
    ),
    "too faint": (
        SimulatedWatch(beats_per_hour=18000, amplitude_deg=240.0),
        RoomNoise(snr_db=-25),
        15,
    ),
}
"""A watch, the room it is heard in, and the seed."""

Answers = dict[str, dict[str, Any]]


def answers() -> Answers:
    """Return what the ear answers to each sound."""
    return {name: answer(*how) for name, how in SOUNDS.items()}


def answer(watch: SimulatedWatch, room: RoomNoise, seed: int) -> dict[str, Any]:
    """Return the figures of one sound, each with its standard uncertainty; empty: no reading."""
    recorder = Recorder(rate_hz=RATE_HZ)
    sound = simulate(watch, duration_s=DURATION_S, room=room, recorder=recorder, seed=seed)
    listener = Listener(RATE_HZ)
    listener.feed(sound.samples)
    try:
        heard = read(listener.hear(), lift_angle_deg=LIFT)
    except NotEnough:
        return {}
    return {
        "beats_per_hour": heard.beats_per_hour,
        "rate_s_per_day": rounded(heard.rate_alone_s_per_day),
        "amplitude_deg": rounded(heard.amplitude_alone_deg),
        "beat_error_ms": rounded(heard.beat_error_ms),
    }


def rounded(value: Measured | None) -> list[float] | None:
    """Return a figure and its uncertainty with so many digits as are worth keeping."""
    return None if value is None else [float(f"{x:.{DIGITS}g}") for x in (value.value, value.u)]


def unlike(kept: Answers, now: Answers) -> list[str]:
    """Return what is answered otherwise, each in a few words."""
    told = [f"{name}: no such sound both times" for name in sorted(set(kept) ^ set(now))]
    for name in sorted(set(kept) & set(now)):
        for figure in sorted(set(kept[name]) | set(now[name])):
            was, is_ = kept[name].get(figure), now[name].get(figure)
            if not alike(was, is_):
                told.append(f"{name}: {figure} was {was}, is {is_}")
    return told


def alike(was: Any, now: Any) -> bool:
    """Return whether two answers are the same but for the last digits."""
    if not (isinstance(was, list) and isinstance(now, list)):
        return bool(was == now)
    near = math.isclose(was[0], now[0], rel_tol=1e-9, abs_tol=WITHIN_U * was[1])
    return near and math.isclose(was[1], now[1], rel_tol=WITHIN_SHARE)


def kept() -> tuple[int, Answers]:
    """Return which ear's answers are written down, and the answers."""
    tree = json.loads(KEPT.read_text(encoding="utf-8"))
    return tree["ear"], tree["answers"]


def write(*, same_ear: bool) -> str:
    """Return what was done: the answers are written down, or why they are not."""
    now = answers()
    if KEPT.exists() and not same_ear:
        ear, before = kept()
        changed = unlike(before, now)
        if changed and ear == EAR:
            return "\n".join([*changed, f"Not written: raise EAR above {EAR} first."])
    text = json.dumps({"ear": EAR, "answers": now}, indent=1)
    KEPT.write_text(text + "\n", encoding="utf-8")
    return f"The answers of ear {EAR} are written down."


if __name__ == "__main__":
    sys.stdout.write(write(same_ear="--same-ear" in sys.argv[1:]) + "\n")
