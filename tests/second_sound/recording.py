"""What the recorder does to the sound: level control, clipping, whole numbers, a lossy codec."""

import io

import numpy as np
import soundfile
from numpy.typing import NDArray
from scipy.fft import irfft, rfft

from second_sound.values import Recorder

Floats = NDArray[np.float64]
Samples = NDArray[np.float32]

BLOCK_S = 0.004
"""The level control looks at blocks of this length."""

CONTAINERS = {
    "vorbis": ("OGG", "VORBIS"),
    "opus": ("OGG", "OPUS"),
    "mp3": ("MP3", "MPEG_LAYER_III"),
}
OPUS_RATES = (8000, 12000, 16000, 24000, 48000)
MP3_RATES = (22050, 24000, 32000, 44100, 48000)
ENCODED_AT_ONCE = 2**15


def record(sound: Floats, loudest: float, recorder: Recorder) -> Samples:
    """Return what stands in the file; `loudest` becomes `recorder.peak` before clipping."""
    gain = recorder.peak / max(loudest, 1e-30)
    samples = sound * gain
    if recorder.level_control_db > 0:
        samples = controlled(samples, recorder)
    samples = np.clip(samples, -1.0, 1.0).astype(np.float32)
    if recorder.bits is not None:
        full = np.float32(2 ** (recorder.bits - 1))
        samples = np.minimum(np.rint(samples * full), full - 1) / full
    if recorder.codec is not None:
        samples = coded(samples, recorder)
    return np.asarray(samples, dtype=np.float32)


def controlled(samples: Floats, recorder: Recorder) -> Floats:
    """Return the sound with an automatic level: loud turns down quickly, quiet up slowly."""
    block = max(1, int(BLOCK_S * recorder.rate_hz))
    blocks = len(samples) // block
    level = np.abs(samples[: blocks * block]).reshape(blocks, block).max(axis=1)
    loud_db = 20 * np.log10(np.maximum(level, 1e-6))
    quick = 1 - np.exp(-BLOCK_S * 1e3 / recorder.attack_ms)
    slow = 1 - np.exp(-BLOCK_S * 1e3 / recorder.release_ms)
    followed, now = np.empty(blocks), float(loud_db[: max(1, blocks // 20)].max())
    for number, value in enumerate(loud_db.tolist()):
        now += (quick if value > now else slow) * (value - now)
        followed[number] = now
    turn = recorder.level_control_db
    gain_db = np.clip(np.mean(followed) - followed, -turn, turn)
    middle = (np.arange(blocks) + 1.5) * block  # it can only follow
    return np.asarray(samples * 10 ** (np.interp(np.arange(len(samples)), middle, gain_db) / 20))


def coded(samples: Samples, recorder: Recorder) -> Samples:
    """Return the samples after a lossy codec, moved back by the codec's constant delay."""
    assert recorder.codec is not None
    if recorder.codec == "opus" and recorder.rate_hz not in OPUS_RATES:
        raise ValueError(f"Opus takes {OPUS_RATES} Hz, not {recorder.rate_hz}")
    if recorder.codec == "mp3" and recorder.rate_hz not in MP3_RATES:
        raise ValueError(f"MP3 takes {MP3_RATES} Hz, not {recorder.rate_hz}")
    container, subtype = CONTAINERS[recorder.codec]
    memory = io.BytesIO()
    with soundfile.SoundFile(
        memory,
        "w",
        samplerate=recorder.rate_hz,
        channels=1,
        format=container,
        subtype=subtype,
        compression_level=recorder.codec_level,
    ) as file:
        for start in range(0, len(samples), ENCODED_AT_ONCE):
            file.write(samples[start : start + ENCODED_AT_ONCE])
    memory.seek(0)
    decoded, _ = soundfile.read(memory, dtype="float32")
    return moved(decoded, delay(samples, decoded), len(samples))


def delay(before: Samples, after: Samples) -> int:
    """Return by how many samples a codec has delayed the sound (where the two agree best)."""
    part = min(len(before), len(after), 2**18)
    size = 2 * part
    agreement = irfft(rfft(after[:part], size) * np.conj(rfft(before[:part], size)), size)
    best = int(np.argmax(agreement))
    return best if best < part else best - size


def moved(samples: Samples, late: int, count: int) -> Samples:
    """Return `count` samples from `late` on, silence where there are none."""
    padded = np.pad(samples, (max(0, -late), max(0, count + late - len(samples))))
    start = max(0, late)
    return padded[start : start + count]
