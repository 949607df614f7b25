"""`sideshake compare`: two recordings side by side."""

import json
import re

import pytest
import soundfile

from sideshake.sound.simulate import DisturbingWheel, SimulatedWatch, simulate

COMPARE = ("--lift-angle", "52", "--position", "CH", "--wound", "full")


def test_what_has_changed_is_told_in_sentences_first(sideshake, sounds):
    """Planted: from 250° to 260°, from +12 to +5 s a day (old clock true, other 30 ppm fast)."""
    said = sideshake("compare", sounds / "old.wav", sounds / "gains-5-clock-30.wav", *COMPARE)
    assert said.code == 0
    assert re.match(r"It swings \d+\S* ± \S+° further than before \(CH, dial up\)\.", said.text)
    assert "Both rates were read by the same sound clock" in said.text
    assert max(map(len, said.out.splitlines())) <= 80


def test_json_holds_the_planted_change(sideshake, sounds):
    said = sideshake(
        "compare", sounds / "old.wav", sounds / "gains-5-clock-30.wav", *COMPARE, "--json"
    )
    tree = json.loads(said.out)
    assert (tree["schema"], tree["version"]) == ("sideshake.comparison", 1)
    found = {each["what"]: each for each in tree["differences"]}
    swing = found["amplitude"]
    assert swing["change"]["low_95"] <= 10.0 <= swing["change"]["high_95"]
    assert (swing["real"], swing["turn"]) == (True, "better")
    # what is read by one clock is compared as read: 30 ppm of a second clock are 2.6 s a day more
    rate = found["rate"]["change"]
    assert rate["low_95"] <= 5.0 - 12.0 - 30 * 0.0864 <= rate["high_95"]
    assert tree["cautions"] == []


def test_conditions_that_were_not_told_are_a_caution(sideshake, sounds):
    said = sideshake("compare", sounds / "old.wav", sounds / "old.flac")
    assert "How it lay was not noted either time" in said.text
    assert "as far as can be told" in said.text


def test_another_watch_is_asked_about(sideshake, sounds):
    said = sideshake("compare", sounds / "old.wav", sounds / "young.wav", *COMPARE)
    assert "Before it beat 18000 times an hour, after 28800: is that the same watch?" in said.text


def test_the_picture_is_drawn_where_it_is_wanted(sideshake, sounds, tmp_path):
    path = tmp_path / "both.svg"
    said = sideshake("compare", sounds / "old.wav", sounds / "old.flac", "--picture", path)
    assert said.code == 0
    assert path.read_text("utf-8").startswith("<svg")
    assert [each.name for each in tmp_path.iterdir()] == ["both.svg"]
    assert (
        sideshake("compare", sounds / "old.wav", sounds / "old.flac", "--picture", "both.png").code
        == 2
    )


def test_with_the_teeth_known_two_rings_are_drawn_on_one_scale(sideshake, tmp_path):
    paths = []
    for name, late_ms in (("before", 0.3), ("after", 0.0)):
        paths.append(tmp_path / f"{name}.wav")
        watch = SimulatedWatch(wheels=(DisturbingWheel(period_s=6.0, delay_ms=late_ms),))
        soundfile.write(paths[-1], simulate(watch, duration_s=26).samples, 48000)
    said = sideshake("compare", *paths, "--escape-teeth", 15, "--picture", tmp_path / "both.svg")
    assert said.code == 0
    rings = (tmp_path / "both-rings.svg").read_text("utf-8")
    assert "Both on one scale." in rings
    assert "Before: with each turn of the escape" in rings
    assert "After: with each turn" not in rings


@pytest.mark.parametrize(
    ("name", "code", "words"),
    [("silence.wav", 3, "silence.wav: no reading"), ("gone.wav", 2, "gone")],
)
def test_a_recording_without_a_reading_is_named(sideshake, sounds, name, code, words):
    said = sideshake("compare", sounds / "old.wav", sounds / name)
    assert said.code == code
    assert words in said.err
    assert said.out == ""


@pytest.mark.parametrize(("calibre", "swings"), [("vennick-41", False), ("tarnbrook-31", True)])
def test_of_an_escapement_without_a_heard_amplitude_none_is_compared(
    sideshake, sounds, calibre, swings
):
    """A cylinder's amplitude cannot be heard, so neither can a change of it; a lever's can."""
    pair = (sounds / "old.wav", sounds / "gains-5-clock-30.wav")
    said = sideshake("compare", *pair, "--calibre", calibre, "--position", "CH", "--json")
    told = {each["what"] for each in json.loads(said.out)["differences"]}
    assert "rate" in told
    assert ("amplitude" in told) is swings
