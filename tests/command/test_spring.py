"""The command spring as a watchmaker uses it."""

import re

import pytest

from sideshake.command.spring import spring
from sideshake.command.winding import winding
from sideshake.core.errors import InputError, NotEnough
from sideshake.movement.sheet_file import shipped_text


def test_a_spring_is_told_in_a_sentence(said):
    text = " ".join(said(spring, "tarnbrook-31").split())
    assert text.startswith(
        "Tarnbrook 31: the spring makes 7.17 ± 0.14 turns; fully wound it gives 8.6 ± 2.2 mN·m, of "
        "which 7.3 ± 1.9 reach the barrel's teeth. The watch uses 6.4 ± 0.6 of these turns and "
        "runs 51 ± 5 h; after 24 h 76 ± 6 % of the torque is left."
    )
    assert "not used: the last turns 0.8 ± 0.6 from memory" in text
    assert "power reserve the sheet states 50.0 ± 0.6 h" in text


def test_a_low_amplitude_is_torque_or_losses_with_what_tells_them_apart(said, figures):
    text = " ".join(said(spring, "tarnbrook-31", amplitude_deg="215+-8").split())
    assert "either 39 ± 10 % of the torque is missing" in text
    assert "or the balance loses 65 ± 27 % more" in text
    assert "What tells them apart" in text
    assert "must be missing" not in text
    hanging = figures(spring, "tarnbrook-31", amplitude_deg="215+-8", hanging=True)
    assert hanging["torque_missing"]["value"] < 0.25


@pytest.mark.parametrize(
    ("swing", "words"), [("280+-8", "does not differ"), ("330+-8", "knocking")]
)
def test_no_amplitude_but_a_low_one_is_torn_apart(said, swing, words):
    text = " ".join(said(spring, "tarnbrook-31", amplitude_deg=swing).split())
    assert words in text
    assert "What tells them apart" not in text
    assert "either" not in text


def test_what_the_sheet_does_not_know_tells_nothing_apart(said, tmp_path):
    path, text = tmp_path / "own.toml", shipped_text("tarnbrook-31")
    kept = [each for each in text.splitlines() if not each.startswith(("quality", "hanging_full"))]
    path.write_text("\n".join(kept), encoding="utf-8")
    told = said(spring, str(path), amplitude_deg="215+-8")
    assert "torque on the barrel" in told
    assert "fork out" not in told
    assert "amplitude hanging" not in told


def test_a_wrong_thickness_is_told_both_ways(figures):
    found = figures(spring, "tarnbrook-31", thickness_mm="0.12+-0.002")
    assert 1.05 < found["own_best_length"]["torque_ratio"]["value"] < 1.20
    assert found["same_length"]["turns_change"]["value"] < 0


def test_the_stock_is_ranked(said, stock):
    text = said(spring, "tarnbrook-31", stock_list=stock)
    assert "Best of 3 in stock: right" in text
    assert "too strong" in text


def test_a_stock_where_nothing_serves_says_so(said, tmp_path):
    path = tmp_path / "stock.csv"
    path.write_text("thickness_mm,height_mm,length_mm\n0.16,1.3,220\n", encoding="utf-8")
    assert "No spring of the stock serves" in said(spring, "tarnbrook-31", stock_list=path)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("thickness_mm,height_mm\n0.1,1.3\n", "row 2 .* no length_mm"),
        ("thickness_mm,height_mm,length_mm\n0.1,x,300\n", "row 2 .* height_mm"),
        ("thickness_mm,height_mm,length_mm\n0.1,1.3,0\n", "above 0"),
    ],
)
def test_a_bad_stock_list_is_named(text, part, tmp_path):
    path = tmp_path / "stock.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=part):
        spring("tarnbrook-31", stock_list=path)
    with pytest.raises(InputError, match="cannot read"):
        spring("tarnbrook-31", stock_list=tmp_path / "none.csv")


def test_an_empty_stock_list_has_no_answer(tmp_path):
    path = tmp_path / "stock.csv"
    path.write_text("thickness_mm,height_mm,length_mm\n", encoding="utf-8")
    with pytest.raises(NotEnough, match="no spring"):
        spring("tarnbrook-31", stock_list=path)


def test_a_spring_without_a_train_still_answers(said, tmp_path):
    text = shipped_text("tarnbrook-31")
    start, end = text.index("[train]"), text.index("[motion_work]")
    path = tmp_path / "own.toml"
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    assert "24 h" not in said(spring, str(path), pictures=tmp_path)
    assert "24 h" not in (tmp_path / "torque.svg").read_text(encoding="utf-8")


def measured_in(tree, place=""):
    """Yield every measured value in a JSON answer with where it stands."""
    if isinstance(tree, dict) and {"value", "u"} <= tree.keys():
        yield place, tree
    elif isinstance(tree, dict | list):
        pairs = tree.items() if isinstance(tree, dict) else enumerate(tree)
        for key, each in pairs:
            yield from measured_in(each, f"{place}.{key}")


def test_no_figure_of_a_sheet_of_plain_numbers_is_without_uncertainty(figures, said, tmp_path):
    for name in ("tarnbrook-31", "lindquell-25"):
        path = tmp_path / f"{name}.toml"
        plain = re.sub(r'"(-?[\d.]+)\+-[\d.]+"', r"\1", shipped_text(name))
        assert "+-" not in plain
        path.write_text(plain, encoding="utf-8")
        exact = [
            place
            for command, told in ((spring, {"amplitude_deg": "215", "turns": "6.5"}),
                                  (spring, {"thickness_mm": "0.12"}), (winding, {}))
            for place, each in measured_in(figures(command, str(path), **told))
            if not each["u"] > 0
        ]  # fmt: skip
        assert exact == []
        assert not re.search(r"\d\.\d{5,}", said(spring, str(path)))


def test_counted_turns_replace_the_estimate(figures, said):
    found = figures(spring, "tarnbrook-31", turns="6.5+-0.2")
    assert found["turns_used_from"] == "count"
    assert found["running_h"]["value"] == pytest.approx(52.0)
    assert [each["by"] for each in found["turns_unused"]] == ["by the count"]
    text = said(spring, "tarnbrook-31", turns="6.5+-0.2")
    assert "51 ± 5" not in text
    assert "57" not in text
    assert "last turns" not in text


def test_counted_turns_give_hours(said):
    assert "6.50 ± 0.20 counted turns run 52.0 ± 1.6 h" in said(
        spring, "tarnbrook-31", turns="6.5+-0.2"
    )


def test_more_turns_than_the_spring_has_are_doubted(said):
    # 7.17 +- 0.14 (95 %) from the sheet's spring
    doubted = said(spring, "tarnbrook-31", turns="8.0+-0.2")
    assert "makes only 7.17 ± 0.14: count again" in " ".join(doubted.split())
    assert "count again" not in said(spring, "tarnbrook-31", turns="7.3+-0.2")


def test_the_sheets_own_viscous_share_is_used(figures, tmp_path):
    own = tmp_path / "own.toml"
    text = shipped_text("tarnbrook-31")
    assert 'viscous_share = { value = "0.8+-0.30"' in text
    own.write_text(text.replace('"0.8+-0.30"', "1.0"), encoding="utf-8")
    missing = figures(spring, str(own), amplitude_deg="240+-6")["torque_missing"]["value"]
    assert missing == pytest.approx(1 - (240 / 285) ** 2)


def test_a_fusee_and_two_barrels_are_told_by_the_spring(said):
    fusee = said(spring, "aldermoor-45")
    assert "The chain takes 2.63 ± 0.08 of its turns; the fusee gets 12 ± 4 mN·m" in fusee
    assert "The watch uses 2.63 ± 0.08 of these turns and runs 30.0 ± 0.8 h" in fusee
    assert "reach the chain" in fusee
    two = said(spring, "marrowick-30")
    assert "one of two barrels in series: twice the turns at this torque" in two
    assert "The watch uses 7.5 ± 0.8 of these turns and runs 75 ± 8 h" in two
    one = said(spring, "tarnbrook-31")
    assert "fusee" not in one
    assert "in series" not in one


def test_a_low_amplitude_of_a_cylinder_is_not_explained():
    with pytest.raises(NotEnough, match="not for a cylinder escapement"):
        spring("vennick-41", amplitude_deg="120+-10")
