"""`sideshake look hole` and `sideshake card`."""

import json

import pytest

from sideshake.command.measured import measurements_at
from sideshake.command.pixel_scale import line_of
from sideshake.photo.card import CALLIPER_U_MM
from tests.photo.rendered import Scene, file_of, where_px

SCENE = Scene(um_a_pixel=26.0, wide_px=880, high_px=860, long_mm=2.08, short_mm=2.0, angle_deg=40)


@pytest.fixture(scope="module")
def photo(tmp_path_factory):
    path = tmp_path_factory.mktemp("photo") / "hole.png"
    path.write_bytes(file_of(SCENE))
    return path


@pytest.fixture(scope="module")
def at():
    x, y = where_px(SCENE)
    return ["--at", str(100 * x / SCENE.wide_px), str(100 * y / SCENE.high_px)]


LINES = ["--lines", "100.0", "100.0"]


def test_a_hole_is_told_in_words_with_its_budget(sideshake, photo, at):
    said = sideshake("look", "hole", photo, *at, *LINES)
    assert said.code == 0
    assert said.text.startswith("Oval by 0.0")
    assert "seen from the bridge" in said.text
    assert "height of the card" in said.text


def test_figures_and_pictures(sideshake, photo, at, tmp_path):
    said = sideshake(
        "look", "hole", photo, *at, *LINES, "--seen-from", "plate", "--json", "--pictures", tmp_path
    )
    told = json.loads(said.out)
    assert told["schema"] == "sideshake.look-hole"
    (found,) = told["photographs"]
    assert found["direction_deg"]["value"] == pytest.approx(140, abs=3)
    assert found["card"] == "small"
    assert {share["cause"] for share in found["budget"]} >= {"edge", "scale", "height"}
    for name in ("hole-edge.svg", "hole-deviations.svg"):
        assert (tmp_path / name).read_text().startswith("<svg")


def test_the_hole_is_written_into_measurements_and_the_rest_stays(sideshake, photo, at, tmp_path):
    into = tmp_path / "barrel.toml"
    into.write_text(
        'watch = "one"\n\n[above]  # bridge\nhole_mm = 1.0\npivot_mm = 0.9\n\n'
        "[below]\nhole_mm = 0.93\n"
    )
    said = sideshake("look", "hole", photo, *at, *LINES, "--into", into, "--place", "above")
    assert said.code == 0
    found = measurements_at(str(into), {})
    assert found.above.hole_mm is None
    assert found.above.hole_long_mm.holds(2.08)
    assert found.above.hole_short_mm.holds(2.0)
    assert found.above.long_axis_deg.holds(40)
    assert found.above.pivot_mm.value == 0.9
    assert found.below.hole_mm.value == 0.93
    assert "# bridge" in into.read_text()
    fresh = tmp_path / "new.toml"
    sideshake("look", "hole", photo, *at, *LINES, "--into", fresh, "--place", "below")
    assert measurements_at(str(fresh), {}).below.hole_long_mm.holds(2.08)


def test_a_file_that_is_no_measurements_stays_as_it_is(sideshake, photo, at, tmp_path):
    other = tmp_path / "other.toml"
    other.write_text("shop = 3\n")
    said = sideshake("look", "hole", photo, *at, *LINES, "--into", other, "--place", "above")
    assert said.code == 2
    assert "no such line" in said.err
    assert other.read_text() == "shop = 3\n"
    said = sideshake("look", "hole", photo, *at, *LINES, "--into", other)
    assert said.code == 2
    assert "--place" in said.err


def test_three_photographs_are_told_together(sideshake, photo, at):
    three = [photo, photo, photo, *at, *at, *at, *LINES]
    turns = ["--turned", "0", "--turned", "60", "--turned", "120"]
    said = sideshake("look", "hole", *three, *turns)
    assert said.code == 0
    assert said.text.startswith("Nothing turns with the part")  # it is the same picture thrice
    assert "Staying, so the camera's: 0.0" in said.text


@pytest.mark.parametrize(
    ("words", "why"),
    [
        ([], "no scale"),
        (["--known", "50", "50"], "no scale"),
        ([*LINES, "--known", "50", "50", "--known-mm", "1"], "one scale only"),
        (["--lines", "90", "100"], "calliper"),
        (["--lines", "long", "100"], "cannot read"),
        ([*LINES, "--turned", "0", "--turned", "60"], "1 photographs, 1 places, 2 turns"),
    ],
)
def test_what_cannot_be_used_is_one_line(sideshake, photo, at, words, why):
    said = sideshake("look", "hole", photo, *at, *words)
    assert said.code == 2
    assert why in said.err
    assert said.err.count("\n") == 1


def test_no_hole_and_no_file_are_one_line(sideshake, photo, tmp_path):
    said = sideshake("look", "hole", photo, "--at", "1", "1", *LINES)
    assert said.code == 3
    said = sideshake("look", "hole", tmp_path / "none.jpg", "--at", "1", "1", *LINES)
    assert said.code == 2
    assert said.err.count("\n") == 1


def test_a_line_without_its_own_interval_has_a_calliper_s():
    assert line_of("99.8").u == CALLIPER_U_MM
    assert line_of("99.8+-0.1").u == pytest.approx(0.05)


def test_the_card_is_written(sideshake, tmp_path):
    to = tmp_path / "card.pdf"
    said = sideshake("card", "--to", to, "--paper", "us-letter", "--json")
    assert json.loads(said.out)["schema"] == "sideshake.photo-card"
    assert to.read_bytes().startswith(b"%PDF")
    said = sideshake("card", "--to", tmp_path / "nowhere" / "card.pdf")
    assert said.code == 2
    assert "cannot write" in said.err
