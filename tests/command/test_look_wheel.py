"""`sideshake look wheel` and `look pivot`, and the page that shows them."""

import json
import re
import shlex
from pathlib import Path

import numpy as np
import pytest
from drawn_pivots import DrawnPivot, drawn_pivot
from drawn_wheels import Drawn, drawn_wheel
from PIL import Image

from sideshake.command.look_pivot import pivot
from sideshake.command.look_wheel import wheel
from sideshake.command.main import app
from sideshake.core.errors import InputError, NotEnough
from sideshake.photo.light import coded
from sideshake.photo.tooth import ToothState
from sideshake.photo.wheel_words import SAID

PAGE = Path(__file__).parents[2] / "docs" / "photograph-wheel.md"
RING = Drawn(
    form="date", inside=True, tip=120, depth=16, numerals=True, turn=np.pi / 2, dirt=2,
    lost={5: 0.0, 12: 0.5}, bent={20: 0.25}, thin={26: 0.3},
)  # fmt: skip
"""Tooth 0 stands at 12 o'clock; the teeth run counter-clockwise, so 5 is number 27."""


@pytest.fixture(scope="module")
def photographs(tmp_path_factory):
    """Return a folder with the photographs of the page."""
    folder = tmp_path_factory.mktemp("photographs")
    for name, light in (
        ("date-ring.png", drawn_wheel(RING)),
        ("whole.png", drawn_wheel(Drawn(teeth=60))),
        ("pivot.png", drawn_pivot(DrawnPivot(bow=1.2, taper=0.02))),
        ("burnt.png", drawn_pivot(DrawnPivot(ground=1.3))),
    ):
        Image.fromarray(np.round(255 * coded(light)).astype(np.uint8)).save(folder / name)
    return folder


@pytest.fixture
def figures(photographs, capsys):
    def run(command, name, **given):
        command(photographs / name, at=(50, 50), as_json=True, **given)
        return json.loads(capsys.readouterr().out)

    return run


def test_the_date_ring_s_teeth_are_named(figures):
    told = figures(wheel, "date-ring.png", teeth="inside", expect=31)
    assert told["schema"] == "sideshake.look-wheel"
    assert (told["teeth"], told["as_expected"]) == (31, True)
    assert (told["missing"], told["broken"], told["worn"], told["bent"]) == ([27], [20], [6], [12])
    assert [each["number"] for each in told["each"]] == list(range(1, 32))
    assert told["tip_mm"] is None


@pytest.mark.parametrize(
    ("expect", "said"), [(60, "the number expected"), (120, "every second"), (61, "not that wheel")]
)
def test_the_number_is_checked_against_the_sheet(expect, said, figures):
    told = figures(wheel, "whole.png", expect=expect)
    assert [said in sentence for sentence in told["sentences"]].count(True) == 1
    assert any("No tooth is missing" in sentence for sentence in told["sentences"])


def test_the_mark_moves_the_numbers(figures):
    ring = figures(wheel, "date-ring.png", teeth="inside", first=(50, 80))
    assert ring["missing"] != [27]
    assert "that was pressed" in ring["notes"][0]


def test_two_points_on_a_rule_give_the_scale(figures):
    told = figures(wheel, "whole.png", points=(10, 90, 60, 90), length_mm="4.00")
    across = told["tip_mm"]
    assert across["value"] == pytest.approx(300 * 4.0 / 200, rel=0.005)
    assert across["u"] > 0.01 * across["value"]
    assert figures(wheel, "whole.png", um_a_pixel="20.00")["tip_mm"]["u"] < across["u"]


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ({"points": (10, 90, 60, 90)}, "one scale"),
        ({"points": (10, 90, 11, 90), "length_mm": "4"}, "apart"),
        ({"um_a_pixel": "20", "length_mm": "4"}, "one scale"),
        ({"lines": ("100", "100"), "um_a_pixel": "20"}, "one scale"),
        ({"lines": ("80", "100")}, "within 6 mm of 100"),
        ({"um_a_pixel": "-20"}, "above 0"),
        ({"expect": 1}, "2 or more"),
        ({"at": (50, 101)}, "hundredths"),
    ],
)
def test_what_is_given_wrongly_is_refused(given, why, photographs):
    with pytest.raises(InputError, match=why):
        wheel(photographs / "whole.png", **{"at": (50, 50)} | given)


def test_a_card_that_is_not_in_the_picture_is_told_with_the_file(photographs):
    with pytest.raises(NotEnough, match=r"whole\.png: no card"):
        wheel(photographs / "whole.png", at=(50, 50), lines=("100", "100"))
    with pytest.raises(NotEnough, match=r"pivot\.png: no card"):
        pivot(photographs / "pivot.png", at=(50, 50), lines=("100", "100"))


def test_what_is_no_wheel_is_refused_with_its_file(photographs):
    with pytest.raises(NotEnough, match=r"pivot\.png: no ring of even teeth"):
        wheel(photographs / "pivot.png", at=(50, 50))
    with pytest.raises(NotEnough, match=r"whole\.png: no pivot"):
        pivot(photographs / "whole.png", at=(3, 3))


def test_teeth_are_numbered_over_the_photograph(photographs, tmp_path, capsys):
    wheel(photographs / "date-ring.png", at=(50, 50), teeth="inside", pictures=tmp_path)
    pivot(photographs / "pivot.png", at=(50, 50), pictures=tmp_path)
    assert "wheel-teeth.svg" in capsys.readouterr().out.replace("\n", "")  # long paths are wrapped
    drawn = (tmp_path / "wheel-teeth.svg").read_text("utf-8")
    words = re.findall(r">([^<>]+)</text>", drawn)
    assert {"27 missing", "20 broken", "6 worn", "12 bent", "1", "31"} <= set(words)
    assert len(words) == 32
    assert (tmp_path / "pivot-edges.svg").read_text("utf-8").count("<line") == 2


def test_a_pivot_is_measured(figures):
    told = figures(pivot, "pivot.png", um_a_pixel="4+-0.02")
    assert told["diameter_mm"]["value"] == pytest.approx(0.240, abs=0.001)
    assert told["bent"]
    assert not told["burnt"]
    assert not any("burnt out" in note for note in told["notes"])
    assert any("burnt out" in note for note in figures(pivot, "burnt.png")["notes"])


def shown():
    """Return each command of the page with the output shown below it."""
    blocks = re.findall(r"```\n(\$ .*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    for part in re.split(r"^\$ ", "".join(blocks), flags=re.MULTILINE)[1:]:
        command, _, output = part.partition("\n")
        yield command, output


def plain(text):
    return " ".join(re.sub("─+", "─", text).split())


@pytest.mark.parametrize(("command", "output"), list(shown()), ids=[each for each, _ in shown()])
def test_the_page_shows_what_the_command_writes(command, output, photographs, capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "96")
    monkeypatch.chdir(photographs)
    app(shlex.split(command)[1:], result_action="return_value")
    written = plain(capsys.readouterr().out)
    for piece in output.split("\n...\n"):
        assert plain(piece) in written


def test_the_page_names_every_state_and_option():
    page = PAGE.read_text(encoding="utf-8")
    assert [state for state in ToothState if f"| {state} |" not in page] == []
    assert set(SAID) == set(ToothState) - {ToothState.WHOLE}
    options = ("at", "expect", "teeth", "first", "um-a-pixel", "points", "length-mm", "pictures")
    assert [option for option in options if f"--{option}" not in page] == []
