import os
import re
import subprocess
import sys

import pytest
import soundfile

PROGRAM = [sys.executable, "-c", "from sideshake.command.main import main; main()"]


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """What the demo writes into a pipe, both streams as they come, and its folder."""
    folder = tmp_path_factory.mktemp("demo")
    done = subprocess.run(
        [*PROGRAM, "demo", "shown", "--no-workshop"], cwd=folder, text=True, check=True,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        env=os.environ | {"XDG_CONFIG_HOME": str(folder), "COLUMNS": "80"},
    )  # fmt: skip
    return done.stdout, folder / "shown"


def part(text, title):
    """Return what stands below one heading, on one line."""
    return " ".join(re.split(r"\n=== ", text.split(f"=== {title} ===")[1])[0].split())


def test_the_story_has_an_order(told):
    titles = re.findall(r"^=== (.*) ===$", told[0], flags=re.MULTILINE)
    assert titles == [
        "The watch as it came",
        "On the bench: the barrel leans",
        "The same watch cleaned, with a new mainspring and a jewel",
        "Rain on the workshop's roof",
    ]
    assert told[0].startswith("Everything here is invented")


def test_the_readings_hold_what_was_simulated(told):
    came = part(told[0], "The watch as it came")
    after = part(told[0], "The same watch cleaned, with a new mainspring and a jewel")
    for said, rate, swing, error in ((came, -48.0, 208.0, 1.4), (after, 6.0, 272.0, 0.2)):
        for truth, found in (
            (rate, re.search(r" rate ([+−]\d+) ± (\d+) s a day", said)),
            (swing, re.search(r" amplitude (\d+) ± (\d+)°", said)),
            (error, re.search(r" beat error ([\d.]+) ± ([\d.]+) ms", said)),
        ):
            value, half = (float(each.replace("−", "-")) for each in found.groups())
            assert abs(truth - value) <= half + 0.5 * 10 ** -len(found[1].partition(".")[2])


def test_each_command_shown_can_be_typed_as_it_stands(told):
    shown = re.findall(r"^\$ (.*)$", told[0], flags=re.MULTILINE)
    assert len(shown) == 4
    assert not [line for line in shown if "..." in line or str(told[1].parent) in line]


def test_rain_gets_no_figure_but_a_reason(told):
    rain = part(told[0], "Rain on the workshop's roof")
    assert "rain.wav: no reading, " in rain
    assert rain.index("no reading") < rain.index("(That was no watch")
    assert "±" not in rain


def test_recordings_and_pictures_are_there(told):
    folder = told[1]
    for name in ("as-it-came.wav", "after-the-work.wav", "rain.wav"):
        assert soundfile.info(folder / name).duration >= 30
    assert {path.name for path in (folder / "pictures").iterdir()} == {
        f"{stem}{ending}"
        for stem in ("as-it-came", "after-the-work")
        for ending in ("-lateness.svg", "-amplitude.svg", "-portrait.svg", ".html")
    } | {"barrel-section.svg", "barrel-forces.svg"}


def test_nothing_but_text_goes_into_a_pipe(told):
    assert not re.search(r"[\x1b\r]", told[0])


def test_a_folder_that_cannot_be_made_is_one_line(sideshake, tmp_path):
    (tmp_path / "taken").write_text("")
    said = sideshake("demo", tmp_path / "taken", "--no-workshop")
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith("sideshake: cannot write the demo into ")
    assert said.err.count("\n") == 1


def test_a_workshop_of_ones_own_is_never_replaced(sideshake, tmp_path):
    own = tmp_path / "workshop"
    own.mkdir()
    (own / "workshop.sqlite3").write_text("mine")
    said = sideshake("demo", tmp_path)
    assert (said.code, said.out) == (2, "")
    assert "is no demo workshop" in said.err
    assert [path.name for path in tmp_path.rglob("*") if path.is_file()] == ["workshop.sqlite3"]


def test_a_number_of_visits_that_cannot_be_is_refused_before_anything_is_made(sideshake, tmp_path):
    said = sideshake("demo", tmp_path / "new", "--visits", "0")
    assert (said.code, said.out) == (2, "")
    assert "--visits 0: give 1 or more" in said.err
    assert not (tmp_path / "new").exists()
