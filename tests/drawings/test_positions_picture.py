import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.drawings.page import svg_text
from sideshake.drawings.positions import DrawnRound, figure, positions_chart
from sideshake.timing.positions.summary import Position, summary
from tests.timing.rounds import VINTAGE, round_of

AFTER = {"CH": (4, 285), "FH": (6, 283), "3H": (2, 245), "9H": (-2, 242)}
SURE = {"rate_u": 0.6, "swing_u": 1.8, "clock_u": 0.2, "lift_share_u": 0.005}
BEFORE = DrawnRound(name="as it came", heard=round_of(VINTAGE, **SURE))
LATER = DrawnRound(name="after the work", heard=round_of(AFTER, **SURE))


@pytest.fixture(scope="module")
def both():
    return svg_text(positions_chart([BEFORE, LATER]))


def rows(chart, panel, kind):
    """Return the data of the layers of one kind of mark in a panel."""
    spec = chart.to_dict()
    layers = [each for each in spec["vconcat"][panel]["layer"] if each["mark"]["type"] == kind]
    return [spec["datasets"][each["data"]["name"]] for each in layers]


def test_every_figure_of_a_round_is_in_the_picture(both, words):
    said = words(both)
    for heard in (BEFORE.heard, LATER.heard):
        told = summary(heard)
        for each in (
            told.mean_s_per_day.text(sign=True),
            told.hanging_minus_lying_s_per_day.text(sign=True),
            told.spread.value.text(),
            told.fall_deg.text(),
        ):
            assert each in said
    for rate, _ in VINTAGE.values():
        assert figure(Measured(rate, 0.6), signed=True) in said
    for position in Position:
        assert position.value in said
        assert position.words in said


def test_the_bars_are_95_percent_intervals_at_their_place():
    table = rows(positions_chart([BEFORE]), 1, "point")[0]
    first = table[0]
    assert first["position"] == "CH, dial up"
    assert (first["low"], first["value"], first["high"]) == pytest.approx((19.8, 21.0, 22.2))
    places = [each["at"] for each in table]
    assert places == sorted(places)
    assert places[1] - places[0] < places[2] - places[1]  # hanging stands apart from lying


def test_two_rounds_stand_side_by_side_in_two_shapes():
    chart = positions_chart([BEFORE, LATER])
    table = rows(chart, 1, "point")[0]
    at = {(each["round"], each["position"]): each["at"] for each in table}
    assert at["as it came", "CH, dial up"] < at["after the work", "CH, dial up"]
    assert ("after the work", "6H, crown left") not in at
    marks = next(
        each for each in chart.to_dict()["vconcat"][1]["layer"] if each["mark"]["type"] == "point"
    )
    assert marks["encoding"]["shape"]["scale"]["range"] == ["circle", "diamond"]


def test_of_two_figures_in_a_position_one_stands_above_and_one_below():
    table = rows(positions_chart([BEFORE, LATER]), 2, "point")[0]
    above = {(each["round"], each["position"][:2]): each["above"] for each in table}
    assert above["after the work", "CH"]  # 285 against 275
    assert not above["as it came", "CH"]
    assert above["as it came", "3H"]  # both 245
    assert not above["after the work", "3H"]


def test_the_means_are_rules_over_their_columns():
    chart = positions_chart([BEFORE])
    values = [each[0]["value"] for each in rows(chart, 1, "rule") if "to" in each[0]]
    assert values == [10.0, -23.0]
    layers = positions_chart([BEFORE, LATER]).to_dict()["vconcat"][2]["layer"]
    dashes = [each["mark"].get("strokeDash") for each in layers if each["mark"]["type"] == "rule"]
    assert dashes.count([7, 4]) == 2  # lying and hanging of the second round


def test_one_position_has_no_mean_rule():
    one = DrawnRound(name="short", heard=round_of({"CH": (3, 280)}, **SURE))
    rules = rows(positions_chart([one]), 1, "rule")
    assert not any("to" in each[0] for each in rules)


def test_chronograph_off_and_on_can_be_laid_over_each_other(words):
    heard = round_of({"CH": (3, 280)}, running={"CH": (1, 251)}, **SURE)
    pair = [
        DrawnRound(name="chronograph off", heard=heard),
        DrawnRound(name="chronograph on", heard=heard, chronograph_on=True),
    ]
    said = words(svg_text(positions_chart(pair)))
    assert "280" in said
    assert "251" in said


def test_no_nought_is_signed_and_every_minus_is_real():
    assert figure(Measured(-0.01, 0.3), signed=True) == "0.0"
    assert figure(Measured(-11.0, 0.3), signed=True) == "−11.0"
    assert figure(Measured(245.0, 2.0), signed=False) == "245"


def test_far_from_nought_the_frame_does_not_hold_it():
    fast = {p: (rate + 900, swing) for p, (rate, swing) in AFTER.items()}
    chart = positions_chart([DrawnRound(name="fast", heard=round_of(fast, **SURE))])
    axis = next(
        each["encoding"]["y"] for each in chart.to_dict()["vconcat"][1]["layer"]
        if "scale" in each["encoding"].get("y", {})
    )  # fmt: skip
    low, high = axis["scale"]["domain"]
    assert 890 < low < 898
    assert 906 < high < 915


def test_a_round_without_amplitude_has_one_panel(words):
    only = DrawnRound(name="rates", heard=round_of({"CH": (3, None), "9H": (5, None)}, **SURE))
    chart = positions_chart([only])
    assert len(chart.to_dict()["vconcat"]) == 2
    assert "swings" not in words(svg_text(chart))


def test_the_same_rounds_give_the_same_picture(both):
    assert svg_text(positions_chart([BEFORE, LATER])) == both


def test_a_screen_reader_hears_the_figures(both):
    assert 'aria-label="Rate and amplitude by position' in both


@pytest.mark.parametrize("rounds", [[], [BEFORE] * 3, [BEFORE, BEFORE]])
def test_other_than_one_or_two_named_rounds_are_refused(rounds):
    with pytest.raises(InputError, match="one round or two"):
        positions_chart(rounds)


def test_nothing_heard_is_no_picture():
    with pytest.raises(NotEnough, match="neither"):
        positions_chart([DrawnRound(name="silence", heard=round_of({"CH": (None, None)}))])
