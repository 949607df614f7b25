"""What the tests keep and benches use: the one place where a bench reaches into `tests/`."""

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[1] / "tests"))

from mutated_inputs import spoilt
from not_a_watch import KINDS
from second_sound import (
    Heard,
    Recorder,
    Spec,
    Truth,
    alarm_clock,
    clock_out_of_beat,
    draw,
    together,
)
from second_sound.recording import record
from strained import TRIALS, trials_on
from tortured import Kept, Tally, Tortured, torture

__all__ = [
    "KINDS",
    "TRIALS",
    "Heard",
    "Kept",
    "Recorder",
    "Spec",
    "Tally",
    "Tortured",
    "Truth",
    "alarm_clock",
    "clock_out_of_beat",
    "draw",
    "record",
    "spoilt",
    "together",
    "torture",
    "trials_on",
]
