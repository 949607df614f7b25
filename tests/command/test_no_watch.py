"""What only beats evenly, on the command line: one line, exit code 3, no figure."""

import numpy as np
import pytest
import soundfile
from heard_chirps import RATE_HZ, chirps

from sideshake.analysis.hearing import KnownForHearing
from sideshake.command.live import LiveAsked, outcome_of
from sideshake.command.microphone import SoundSource
from sideshake.sound.clock import unchecked_clock
from tests.command.conftest import OLD_WATCH, ticking
from tests.command.test_hear import figures

SAID = "but it does not sound like a watch"


@pytest.fixture
def crickets(tmp_path):
    path = tmp_path / "crickets.wav"
    soundfile.write(path, chirps(), RATE_HZ)
    return path


@pytest.fixture
def watch(tmp_path):
    path = tmp_path / "watch.wav"
    soundfile.write(path, ticking(OLD_WATCH), RATE_HZ)
    return path


def test_crickets_are_told_in_one_line_without_a_figure(sideshake, crickets):
    said = sideshake("hear", crickets)
    assert said.code == 3
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert "Something beats evenly, 1800" in said.err
    assert SAID in said.err
    assert said.err.endswith("If it is one, say so with --watch.\n")
    for word in ("s a day", "°", "out of beat", "swings", "deserve"):
        assert word not in said.err


def test_a_watch_has_not_that_line(sideshake, watch):
    said = sideshake("hear", watch)
    assert said.code == 0
    assert SAID not in said.err + said.text
    assert "because you say so" not in said.text


def test_the_json_has_the_beat_and_the_reasons_and_no_reading(sideshake, crickets):
    tree = figures(sideshake("hear", crickets, "--json"))
    assert tree["readings"] == []
    (failure,) = tree["failures"]
    assert failure["kind"] == "NoWatch"
    assert failure["beats_per_hour"]["value"] == pytest.approx(18000, rel=2e-4)
    assert "more than a tone" in failure["against"]


def test_with_the_option_it_is_read_and_the_doubt_says_who_said_it(sideshake, crickets):
    said = sideshake("hear", crickets, "--watch")
    assert said.code == 0
    assert "because you say so" in said.text
    kinds = [
        doubt["kind"]
        for doubt in figures(sideshake("hear", crickets, "--watch", "--json"))["readings"][0][
            "doubts"
        ]
    ]
    assert kinds[0] == "said to be a watch"


def test_told_beats_an_hour_do_not_make_a_watch_of_it(sideshake, crickets):
    assert SAID in sideshake("hear", crickets, "--beats-per-hour", "18000").err


def test_a_comparison_does_not_use_it(sideshake, watch, crickets):
    said = sideshake("compare", watch, crickets)
    assert said.code == 3
    assert SAID in said.err
    assert said.out == ""


def test_the_clock_is_still_checked_by_a_quartz_tick(sideshake, quartz):
    said = sideshake("clock", quartz(clock_ppm=30.0, seconds=300.0), "--within", "0")
    assert SAID not in said.err + said.text
    assert said.code == 0


def test_live_it_is_told_so_too_and_read_when_said(capsys):
    for said_watch, code in ((False, 3), (True, 0)):
        sound = (chirps(duration_s=12.0) * 32767).astype(np.int16)[:, None]
        blocks = [sound[at : at + 4800] for at in range(0, len(sound), 4800)]
        source = SoundSource(name="a microphone", rate_hz=RATE_HZ, channels=1, blocks=iter(blocks))
        asked = LiveAsked(known=KnownForHearing(said_watch=said_watch), clock=unchecked_clock())
        outcome = outcome_of(source, asked)
        assert bool(outcome.readings) == said_watch
        assert (SAID in capsys.readouterr().err) == (code == 3)
