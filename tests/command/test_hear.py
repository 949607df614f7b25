import csv
import json
import os
import pty
import re
import shutil
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
import soundfile

from sideshake.command.hear import require_beats_file
from sideshake.command.hearing import Saved, save_pictures, stems
from sideshake.command.listen import hear_file
from sideshake.command.told import parse_lift
from sideshake.core.errors import InputError
from sideshake.sound.noise import RoomNoise
from sideshake.sound.recording import open_recording
from sideshake.sound.simulate import DisturbingWheel, SimulatedWatch, simulate
from sideshake.timing.reading import read

PROGRAM = [sys.executable, "-c", "from sideshake.command.main import main; main()"]


def figures(said):
    tree = json.loads(said.out)
    assert (tree["schema"], tree["version"]) == ("sideshake.reading", 1)
    return tree


def holds(figure, truth):
    return figure["low_95"] <= truth <= figure["high_95"]


def test_one_recording_is_told_in_a_sentence_first(sideshake, sounds):
    said = sideshake("hear", sounds / "old.wav")
    assert said.code == 0
    assert re.match(
        r"Gains 12 ± 5 s a day, swings \d+ ± \d+°, out of beat by 1\.\d+ ± 0\.\d+ ms "
        r"\(\d\.\d+ ± 0\.\d+°\)\. Lying and fully wound",
        said.text,
    )


def test_the_words_say_what_the_interval_is_and_which_beat_error(sideshake, sounds):
    said = sideshake("hear", sounds / "old.wav")
    assert "± is the 95 % interval; beat error is half the difference" in said.text
    assert "rate +12 ± 5 s a day" in said.text
    assert re.search(r"beat error 1\.\d+ ± 0\.\d+ ms", said.text)


def test_the_words_fit_eighty_columns_and_carry_no_colour_into_a_pipe(sideshake, sounds):
    said = sideshake("hear", sounds / "old.wav", sounds / "silence.wav")
    assert max(map(len, said.out.splitlines())) <= 80
    assert "\x1b" not in said.out + said.err
    assert "\r" not in said.out + said.err


def test_json_holds_the_simulated_truth_in_its_intervals(sideshake, sounds):
    said = sideshake("hear", sounds / "old.wav", "--lift-angle", "52", "--json")
    (found,) = figures(said)["readings"]
    assert holds(found["rate_s_per_day"], 12.0)
    assert holds(found["amplitude_deg"], 250.0)
    assert holds(found["beat_error_ms"], 1.5)
    assert found["beats_per_hour"] == 18000


@pytest.mark.parametrize("name", ["old.flac", "wrong-ending.mp3"])
def test_the_format_and_the_ending_change_nothing(sideshake, sounds, name):
    (wav,) = figures(sideshake("hear", sounds / "old.wav", "--json"))["readings"]
    (other,) = figures(sideshake("hear", sounds / name, "--json"))["readings"]
    assert {**wav, "file": ""} == {**other, "file": ""}


def test_standard_input_is_a_dash(sounds, tmp_path):
    with (sounds / "old.flac").open("rb") as stream:
        done = subprocess.run(
            [*PROGRAM, "hear", "-", "--json"], stdin=stream, capture_output=True, check=True,
            env=os.environ | {"XDG_CONFIG_HOME": str(tmp_path)},
        )  # fmt: skip
    (found,) = json.loads(done.stdout)["readings"]
    assert found["file"] == "-"
    assert holds(found["rate_s_per_day"], 12.0)


def test_several_recordings_make_a_table_and_a_bad_one_stops_none(sideshake, sounds):
    names = ["old.wav", "silence.wav", "young.wav", "empty.wav", "odd.wav"]
    said = sideshake("hear", *(sounds / name for name in names))
    assert said.code == 3
    assert said.out.startswith("3 of 5 recordings gave a reading.")
    assert len(said.err.splitlines()) == 2
    assert "silence.wav: no reading, the sound is silent" in said.err
    assert "empty.wav: is empty" in said.err


def test_a_doubt_that_several_share_is_said_once(sideshake, sounds):
    old, young = sounds / "old.wav", sounds / "young.wav"
    notes = figures(sideshake("hear", old, young, "--json"))["notes"]
    (shared,) = [note for note in notes if "clock was never checked" in note]
    assert shared.startswith(f"{old}, {young}: ")


def test_brackets_in_a_name_are_no_markup(sideshake, sounds, tmp_path):
    folder = tmp_path / "x["
    folder.mkdir()
    shutil.copy(sounds / "old.wav", folder / "dim].wav")
    said = sideshake("hear", folder / "dim].wav", sounds / "young.wav")
    assert said.code == 0
    assert "[/dim].wav" in "".join(said.out.split())


def test_json_names_the_recordings_without_a_reading(sideshake, sounds):
    said = sideshake("hear", sounds / "silence.wav", sounds / "empty.wav", "--json")
    tree = figures(said)
    assert tree["readings"] == []
    assert [each["kind"] for each in tree["failures"]] == ["NotEnough", "InputError"]


@pytest.mark.parametrize(
    ("name", "code", "why"),
    [
        ("empty.wav", 2, "is empty"),
        ("cut-short.wav", 2, "was cut short, only 6.0 s are left"),
        ("letter.wav", 2, "is not a sound file that can be read"),
        ("nan.wav", 2, "not numbers"),
        ("at-0-hz.wav", 2, "is not a sound file that can be read"),
        ("at-1-hz.wav", 2, "16000 to 192000 is allowed"),
        ("at-8000-hz.wav", 2, "16000 to 192000 is allowed"),
        ("at-1000000-hz.wav", 2, "16000 to 192000 is allowed"),
        ("missing.wav", 2, "cannot be opened (No such file or directory)"),
        ("", 2, "cannot be opened (Is a directory)"),
        ("silence.wav", 3, "no reading, the sound is silent"),
        ("noise.wav", 3, "no reading, "),
        ("quartz.wav", 3, "3600 times an hour"),
    ],
)
def test_bad_input_is_one_line_that_says_which_and_why(sideshake, sounds, name, code, why):
    path = sounds / name
    said = sideshake("hear", path)
    assert said.code == code
    assert said.out == ""
    assert said.err.startswith(f"sideshake: {path}: ")
    assert why in said.err
    assert said.err.count("\n") == 1


def test_a_recording_that_shrinks_while_it_is_read_is_refused(sounds, tmp_path):
    shrinking = tmp_path / "shrinking.wav"
    shutil.copy(sounds / "old.wav", shrinking)
    with open_recording(shrinking) as recording:
        blocks = recording.blocks()
        next(blocks)
        os.truncate(shrinking, 400_000)
        with pytest.raises(InputError, match="though its header promises 12"):
            list(blocks)


@pytest.mark.parametrize(
    ("option", "value", "why"),
    [
        ("--lift-angle", "0", "10 to 90 is allowed"),
        ("--lift-angle", "200", "10 to 90 is allowed"),
        ("--lift-angle", "x", "such as 52 or 52+-1"),
        ("--lift-angle", "nan", "such as 52 or 52+-1"),
        ("--beats-per-hour", "-1", "600 to 72000 is allowed"),
        ("--beats-per-hour", "0", "600 to 72000 is allowed"),
        ("--beats-per-hour", "nan", "600 to 72000 is allowed"),
        ("--calibre", "nowhere-1", "no file 'nowhere-1'"),
        ("--recorder", "nobody's", "no clock was checked for"),
        ("--beats", "beats.wav", "must end in .csv"),
        ("--lift", "52", "--lift is no option here"),
    ],
)
def test_a_bad_option_is_one_line_and_nothing_is_read(sideshake, sounds, option, value, why):
    said = sideshake("hear", sounds / "old.wav", sounds / "empty.wav", option, value)
    if option == "--beats":
        said = sideshake("hear", sounds / "old.wav", option, value)
    assert said.code == 2
    assert why in said.err
    assert said.err.count("\n") == 1
    assert said.out == ""


def test_beats_per_hour_far_from_what_is_heard_are_no_reading(sideshake, sounds):
    said = sideshake("hear", sounds / "old.wav", "--beats-per-hour", "21600")
    assert said.code in (2, 3)
    assert said.out == ""


def test_an_unusual_beat_has_a_rate_only_if_it_is_given(sideshake, sounds):
    free = sideshake("hear", sounds / "odd.wav")
    assert free.out.startswith("Beats 17000")
    assert "say how many it should be, by the calibre sheet or with --beats-per-hour" in free.text
    (told,) = figures(sideshake("hear", sounds / "odd.wav", "--beats-per-hour", "17000", "--json"))[
        "readings"
    ]
    assert holds(told["rate_s_per_day"], 0.0)


@pytest.mark.parametrize(
    ("name", "tokens", "source", "said"),
    [("old.wav", [], "nearest usual number", "18000, nearest usual, not told"),
     ("old.wav", ["--beats-per-hour", "18000"], "told", "18000, as told"),
     ("old.wav", ["--calibre", "tarnbrook-31"], "calibre sheet", "18000, by the calibre sheet"),
     ("odd.wav", [], None, "not known")],
)  # fmt: skip
def test_it_is_said_who_told_the_beats_per_hour(sideshake, sounds, name, tokens, source, said):
    words = sideshake("hear", sounds / name, *tokens).text
    assert f"beats an hour {said}" in words
    assert ("Taken as 18000 beats an hour" in words) == (source == "nearest usual number")
    (found,) = figures(sideshake("hear", sounds / name, *tokens, "--json"))["readings"]
    assert found["beats_per_hour_from"] == source
    assert found["beats_per_hour_heard"]["low_95"] < found["beats_per_hour_heard"]["high_95"]


def test_a_swing_so_far_that_it_knocks_is_not_called_healthy(sideshake, sounds):
    said = sideshake("hear", sounds / "knocking.wav", "--lift-angle", "52")
    assert "probably knocks on the fork's outside" in said.text
    assert "healthy" not in said.text


def test_lift_angle_and_beats_come_from_the_calibre_sheet(sideshake, sounds):
    (found,) = figures(
        sideshake("hear", sounds / "old.wav", "--calibre", "tarnbrook-31", "--json")
    )["readings"]
    assert found["lift_angle_deg"]["value"] == 50.0
    assert holds(found["amplitude_deg"], 250.0 * 50 / 52)
    assert "lift angle assumed" not in [each["kind"] for each in found["doubts"]]


def test_a_cylinder_s_amplitude_is_not_told_whatever_the_sound_says(sideshake, sounds):
    said = sideshake("hear", sounds / "old.wav", "--calibre", "vennick-41", "--json")
    (found,) = figures(said)["readings"]
    assert found["amplitude_deg"] is None
    assert "not for a cylinder escapement" in " ".join(each["text"] for each in found["doubts"])
    assert found["rate_s_per_day"] is not None


@pytest.mark.parametrize("written", ["52+-2", "52 ± 2", " 52 ± 1° standard"])
def test_a_lift_angle_may_carry_its_uncertainty(written):
    lift = parse_lift(written)
    assert (lift.value, lift.u) == (52.0, 1.0)


def test_the_csv_holds_every_beat(sideshake, sounds, tmp_path):
    said = sideshake("hear", sounds / "old.wav", "--beats", tmp_path / "new" / "beats.csv")
    assert said.code == 0
    with (tmp_path / "new" / "beats.csv").open() as stream:
        rows = list(csv.DictReader(stream))
    numbers = [int(row["number"]) for row in rows]
    arrivals = [float(row["arrival_s"]) for row in rows]
    assert numbers == list(range(len(rows)))
    assert (arrivals[-1] - arrivals[0]) / (len(rows) - 1) == pytest.approx(
        0.2 / (1 + 12 / 86400), abs=2e-5 + 1.5e-3 / len(rows)
    )
    assert {row["side"] for row in rows} == {"tick", "tock"}


def test_beats_of_several_recordings_do_not_go_into_one_file(tmp_path):
    with pytest.raises(InputError, match="2 were given"):
        require_beats_file(tmp_path / "beats.csv", 2)


def test_pictures_are_written_and_twice_the_same(sideshake, sounds, tmp_path):
    written = []
    for folder in (tmp_path / "one", tmp_path / "two"):
        said = sideshake("hear", sounds / "old.wav", "--pictures", folder)
        assert said.code == 0
        written.append({path.name: path.read_bytes() for path in folder.iterdir()})
    assert set(written[0]) == {"old-lateness.svg", "old-portrait.svg", "old.html"}
    assert written[0] == written[1]
    assert b"\xc2\xb1 is the 95 % interval" in written[0]["old.html"]


@pytest.fixture(scope="module")
def bent(tmp_path_factory):
    """A watch whose escape wheel of fifteen teeth is out of round by 0.1 ms."""
    path = tmp_path_factory.mktemp("bent") / "bent.wav"
    watch = SimulatedWatch(
        beats_per_hour=18000, wheels=(DisturbingWheel(period_s=6.0, delay_ms=0.1),)
    )
    soundfile.write(path, simulate(watch, duration_s=30, room=RoomNoise(snr_db=25)).samples, 48000)
    return path


def test_with_the_teeth_of_the_escape_wheel_there_is_a_ring(sideshake, bent, tmp_path):
    said = sideshake("hear", bent, "--escape-teeth", 15, "--pictures", tmp_path)
    assert "With each turn of the escape wheel the beats swing early and late by" in said.text
    picture = (tmp_path / "bent-lateness.svg").read_text("utf-8")
    assert "Lateness, one turn of the escape wheel" in picture
    assert "Lateness unrolled along time" in (tmp_path / "bent.html").read_text("utf-8")


def test_the_calibre_sheet_tells_the_teeth(sideshake, bent):
    (found,) = figures(sideshake("hear", bent, "--calibre", "tarnbrook-31", "--json"))["readings"]
    turn = found["turn"]
    assert (turn["escape_teeth"], len(turn["late_ms"])) == (15, 30)
    assert np.ptp(turn["late_ms"]) == pytest.approx(0.2, abs=0.03)
    assert "With each turn" in turn["sentences"][0]


def test_without_the_teeth_none_are_assumed(sideshake, bent, tmp_path):
    said = sideshake("hear", bent, "--pictures", tmp_path)
    assert "With each turn" not in said.text
    assert "Lateness along time" in (tmp_path / "bent-lateness.svg").read_text("utf-8")
    (found,) = figures(sideshake("hear", bent, "--json"))["readings"]
    assert found["turn"] is None


def test_an_escape_wheel_that_cannot_be_is_refused(sideshake, bent):
    said = sideshake("hear", bent, "--escape-teeth", 3)
    assert said.code == 2
    assert "6 to 60 is allowed" in said.err


def test_json_is_twice_the_same(sideshake, sounds):
    once, again = (sideshake("hear", sounds / "old.wav", "--json").out for _ in range(2))
    assert once == again


def test_recordings_of_one_name_keep_pictures_apart():
    assert stems(["a/up.wav", "b/up.flac", "c/up-2.wav", "d/up.wav", "-"]) == [
        "up", "up-2", "up-2-2", "up-3", "standard-input",
    ]  # fmt: skip


def test_a_reading_is_said_even_if_its_pictures_cannot_be_written(sideshake, sounds, tmp_path):
    (tmp_path / "taken").write_text("a file")
    said = sideshake("hear", sounds / "old.wav", "--pictures", tmp_path / "taken")
    assert said.code == 2
    assert said.out.startswith("Gains 12")
    assert "cannot write" in said.err


def test_without_a_portrait_the_other_picture_is_still_drawn(sounds, tmp_path):
    heard = hear_file(str(sounds / "old.wav"), None)
    saved = Saved()
    without = read(replace(heard, portraits=(None, None)))
    save_pictures(tmp_path, "old", without, None, saved=saved)
    assert saved.notes == ["No portrait of old: too few beats for a portrait."]
    assert {path.name for path in tmp_path.iterdir()} == {"old-lateness.svg", "old.html"}


def test_on_a_terminal_several_recordings_show_how_many_are_done(sounds, tmp_path):
    watched, terminal = pty.openpty()
    done = subprocess.run(
        [*PROGRAM, "hear", sounds / "old.wav", sounds / "silence.wav"], check=False,
        stdout=subprocess.PIPE, stderr=terminal, text=True,
        env=os.environ | {"XDG_CONFIG_HOME": str(tmp_path), "TERM": "xterm", "COLUMNS": "80"},
    )  # fmt: skip
    os.close(terminal)
    shown = " ".join(os.read(watched, 100_000).decode().split())
    os.close(watched)
    assert "recordings" in shown
    assert "silence.wav: no reading, the sound is silent" in shown
    assert done.stdout.startswith("1 of 2 recordings gave a reading.")
    assert "\x1b" not in done.stdout


LOADED = """
import sys
from sideshake.command.main import main
try:
    main(sys.argv[1:])
except SystemExit:
    computing = {"numpy", "scipy", "django", "altair", "soundfile", "pydantic"}
    print(sorted(computing & set(sys.modules)))
"""


@pytest.mark.parametrize("tokens", [["--help"], ["hear", "--help"], ["clock", "--help"]])
def test_a_page_of_help_loads_nothing_that_computes(tokens):
    # what a third of a second depends on; benchmarks, not tests, measure time
    said = subprocess.run(
        [sys.executable, "-c", LOADED, *tokens], capture_output=True, text=True, check=True
    )
    assert said.stdout.splitlines()[-1] == "[]"
