"""The microphone, with a stand-in for the package that reaches it."""

import threading
from queue import SimpleQueue
from types import SimpleNamespace

import numpy as np
import pytest

from sideshake.command.microphone import (
    LOST,
    UNPLUGGED,
    arriving,
    chosen_device,
    devices,
    open_microphone,
    sound_library,
    usable,
)
from sideshake.core.errors import InputError

DEVICES = (
    ("Loudspeaker", 0, 48000.0),
    ("Built-in microphone", 2, 44100.0),
    ("Contact microphone", 1, 48000.0),
)


class Library:
    """Answers as `sounddevice` 0.5 does; `offers` are the (rate, channels) that a device takes."""

    class PortAudioError(Exception):
        pass

    def __init__(self, *, usual=1, offers=((48000, 1),), sound=(), overflow=False, taken=False):
        self.default = SimpleNamespace(device=(usual, 0))
        self.offers, self.sound, self.overflow, self.taken = offers, sound, overflow, taken
        self.closed = False

    def query_devices(self):
        return [
            {"name": name, "max_input_channels": channels, "default_samplerate": rate_hz}
            for name, channels, rate_hz in DEVICES
        ]

    def check_input_settings(self, *, device, channels, dtype, samplerate):
        assert dtype == "int16"
        if (samplerate, channels) not in self.offers:
            raise self.PortAudioError("Invalid sample rate")

    def InputStream(self, *, callback, channels, **how):
        if self.taken:
            raise self.PortAudioError("Device unavailable")
        assert how["dtype"] == "int16"
        return Stream(self, callback, channels)


class Stream:
    def __init__(self, library, callback, channels):
        self.library, self.callback, self.channels = library, callback, channels

    def __enter__(self):
        status = SimpleNamespace(input_overflow=self.library.overflow)
        buffer = np.empty((2, self.channels), np.int16)

        def run():
            for value in self.library.sound:
                buffer[:] = value  # PortAudio uses the same memory again
                self.callback(buffer, 2, None, status)

        self.thread = threading.Thread(target=run)
        self.thread.start()

    def __exit__(self, *_):
        self.thread.join()
        self.library.closed = True


def test_only_what_can_be_listened_to_is_listed():
    found = devices(Library())
    assert [(each.number, each.name) for each in found] == [
        (1, "Built-in microphone"), (2, "Contact microphone"),
    ]  # fmt: skip


@pytest.mark.parametrize(("wanted", "number"), [(None, 1), ("2", 2), ("contact", 2), ("BUILT", 1)])
def test_a_microphone_is_chosen_by_number_or_name(wanted, number):
    assert chosen_device(wanted, Library()).number == number


def test_without_a_usual_one_the_first_is_taken():
    assert chosen_device(None, Library(usual=-1)).number == 1


@pytest.mark.parametrize(
    ("wanted", "why"),
    [
        ("microphone", "several microphones are called 'microphone'; there are: 1 Built-in"),
        ("violin", "no microphone is called 'violin'"),
        ("0", "no microphone is called '0'"),
    ],
)
def test_an_unclear_choice_names_what_there_is(wanted, why):
    with pytest.raises(InputError, match=why):
        chosen_device(wanted, Library())


def test_a_computer_without_microphone_says_so():
    library = Library()
    library.query_devices = list
    with pytest.raises(InputError, match="no microphone is found on this computer"):
        chosen_device(None, library)


@pytest.mark.parametrize(
    ("offers", "chosen"),
    [
        (((48000, 1), (44100, 1)), (48000, 1)),
        (((44100, 1), (44100, 2)), (44100, 1)),
        (((48000, 2),), (48000, 2)),
    ],
)
def test_48_khz_and_one_channel_are_preferred(offers, chosen):
    built_in = devices(Library())[0]
    assert usable(built_in, Library(offers=offers)) == chosen


def test_a_card_that_offers_nothing_usable_is_refused():
    with pytest.raises(InputError, match="gives no 16-bit sound"):
        usable(devices(Library())[0], Library(offers=()))


def test_blocks_come_whole_and_in_order_and_the_microphone_is_closed():
    library = Library(sound=(1, 2, 3))
    with open_microphone("contact", library) as source:
        blocks = [next(source.blocks) for _ in range(3)]
    assert [block.tolist() for block in blocks] == [[[1]] * 2, [[2]] * 2, [[3]] * 2]
    assert (source.name, source.rate_hz, source.troubles) == ("Contact microphone", 48000, [])
    assert library.closed


def test_sound_that_was_lost_is_told_once():
    with open_microphone(None, Library(sound=(1, 2), overflow=True)) as source:
        next(source.blocks), next(source.blocks)
    assert source.troubles == [LOST]


def test_a_microphone_in_use_is_one_line():
    with (
        pytest.raises(InputError, match=r"cannot be opened \(Device unavailable\)"),
        open_microphone(None, Library(taken=True)),
    ):
        pass


def test_a_microphone_pulled_out_ends_the_sound():
    troubles, queue = [], SimpleQueue()
    queue.put(np.ones((3, 1), np.int16))
    blocks = list(arriving(queue, 1, troubles, silent_s=0.3))
    assert [block.shape for block in blocks] == [(3, 1), (0, 1), (0, 1)]
    assert troubles == [UNPLUGGED]


def refuse(fault):
    def load(name):
        assert name == "sounddevice"
        raise fault

    return load


def test_without_the_package_it_says_how_to_get_it():
    with pytest.raises(InputError, match=r"pip install .sounddevice>=0\.5,<1"):
        sound_library(refuse(ModuleNotFoundError("No module named 'sounddevice'")))


def test_without_the_system_library_it_says_how_to_get_it():
    with pytest.raises(InputError, match="sudo apt install libportaudio2"):
        sound_library(refuse(OSError("PortAudio library not found")))
