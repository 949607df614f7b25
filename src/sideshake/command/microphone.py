"""The microphone, through PortAudio and the optional package `sounddevice`."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib import import_module
from queue import Empty, SimpleQueue
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sideshake.core.errors import InputError

Samples = NDArray[np.int16]
"""Samples as they come, shape (n, channels)."""

BLOCK_S = 0.1
WAIT_S, SILENT_S = 0.2, 3.0
"""A microphone that gives nothing for so long was pulled out."""
USUAL_RATE_HZ = 48000
NO_MICROPHONE = "no microphone is found on this computer: plug one in and try again"
WITHOUT = "or record with any program and give the file"
LOST = (
    "Sound was lost while the computer was busy: beats after the gap come early. Close other "
    "programs and listen again."
)
UNPLUGGED = "The microphone stopped giving sound; what was heard until then is told."


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundSource:
    """Sound as it comes, in blocks; an empty block only says that nothing has come yet.

    `troubles` : what went wrong on the way, told with the answer
    """

    name: str
    rate_hz: int
    channels: int
    blocks: Iterator[Samples]
    troubles: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """A microphone or sound card that can be listened to."""

    number: int
    name: str
    channels: int
    rate_hz: int


def sound_library(load: Callable[[str], Any] = import_module) -> Any:
    """Return the package that reaches the microphone.

    Raises
    ------
    InputError : it, or the system library it needs, is not installed; says how to get it
    """
    try:
        return load("sounddevice")
    except ImportError:
        raise InputError(
            "listening live needs the package sounddevice: in the program's folder, "
            f".venv/bin/pip install 'sounddevice>=0.5,<1'; {WITHOUT}"
        ) from None
    except OSError:
        raise InputError(
            "listening live needs the system library PortAudio, which is missing: on Debian or "
            "Ubuntu sudo apt install libportaudio2, on Fedora sudo dnf install portaudio; "
            f"{WITHOUT}"
        ) from None


def devices(library: Any) -> list[Device]:
    """Return what can be listened to."""
    return [
        Device(
            number=number,
            name=str(each["name"]),
            channels=int(each["max_input_channels"]),
            rate_hz=round(each["default_samplerate"]),
        )
        for number, each in enumerate(library.query_devices())
        if each["max_input_channels"] > 0
    ]


def chosen_device(wanted: str | None, library: Any) -> Device:
    """Return the device with this number or a name that holds this text; else the usual one.

    Raises
    ------
    InputError : there is no microphone, or none or several that are so called
    """
    found = devices(library)
    if not found:
        raise InputError(NO_MICROPHONE)
    names = "; ".join(f"{each.number} {each.name}" for each in found)
    if wanted is None:
        usual = [each for each in found if each.number == library.default.device[0]]
        return (usual or found)[0]
    fits = [each for each in found if str(each.number) == wanted]
    fits = fits or [each for each in found if wanted.lower() in each.name.lower()]
    if len(fits) != 1:
        which = "several microphones are" if fits else "no microphone is"
        raise InputError(f"{which} called {wanted!r}; there are: {names}")
    return fits[0]


def usable(device: Device, library: Any) -> tuple[int, int]:
    """Return a sample rate and a number of channels that the device offers."""
    for rate_hz in (USUAL_RATE_HZ, device.rate_hz):
        for channels in (1, device.channels):
            try:
                library.check_input_settings(
                    device=device.number, channels=channels, dtype="int16", samplerate=rate_hz
                )
            except (library.PortAudioError, ValueError):
                continue
            return rate_hz, channels
    raise InputError(f"{device.name} gives no 16-bit sound at {device.rate_hz} Hz: choose another")


@contextmanager
def open_microphone(wanted: str | None, library: Any) -> Iterator[SoundSource]:
    """Yield the sound of a microphone, as `chosen_device` finds it.

    Raises
    ------
    InputError : there is none, or it is taken by another program
    """
    device = chosen_device(wanted, library)
    rate_hz, channels = usable(device, library)
    arrived: SimpleQueue[Samples] = SimpleQueue()
    troubles: list[str] = []

    def take(block: Samples, _frames: int, _time: object, status: Any) -> None:
        if status.input_overflow and LOST not in troubles:
            troubles.append(LOST)
        arrived.put(block.copy())

    try:
        stream = library.InputStream(
            device=device.number, channels=channels, dtype="int16", samplerate=rate_hz,
            blocksize=round(BLOCK_S * rate_hz), callback=take,
        )  # fmt: skip
    except library.PortAudioError as fault:
        raise InputError(
            f"{device.name} cannot be opened ({fault}): does another program use it?"
        ) from None
    with stream:
        blocks = arriving(arrived, channels, troubles)
        yield SoundSource(
            name=device.name, rate_hz=rate_hz, channels=channels, blocks=blocks, troubles=troubles
        )


def arriving(
    arrived: SimpleQueue[Samples],
    channels: int,
    troubles: list[str],
    *,
    silent_s: float = SILENT_S,
) -> Iterator[Samples]:
    """Yield what arrives, an empty block where nothing does, and end after a long nothing."""
    nothing_s = 0.0
    while nothing_s < silent_s:
        try:
            yield arrived.get(timeout=WAIT_S)
            nothing_s = 0.0
        except Empty:
            nothing_s += WAIT_S
            yield np.empty((0, channels), np.int16)
    troubles.append(UNPLUGGED)
