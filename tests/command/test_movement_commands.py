"""The commands calibre, train, spring, winding and quickset as a watchmaker uses them."""

import json
import re

import pytest

from sideshake.command.calibre import check, convert, new
from sideshake.command.main import app
from sideshake.command.quickset import quickset
from sideshake.command.spring import spring
from sideshake.command.train import train
from sideshake.command.winding import winding
from sideshake.errors import InputError, Lacking, NotEnough
from sideshake.movement.sheet_file import sheet_at, shipped_names, shipped_text


@pytest.fixture
def said(capsys):
    """Return what a command wrote, white space made single."""

    def run(command, *args, **options):
        command(*args, **options)
        return " ".join(capsys.readouterr().out.split())

    return run


@pytest.fixture
def figures(capsys):
    def run(command, *args, **options):
        command(*args, as_json=True, **options)
        return json.loads(capsys.readouterr().out)

    return run


@pytest.fixture
def stock(tmp_path):
    path = tmp_path / "stock.csv"
    path.write_text(
        "name,thickness_mm,height_mm,length_mm\n"
        "thick,0.16,1.3,220\nright,0.115,1.28,305\nhigh,0.115,1.44,305\n",
        encoding="utf-8",
    )
    return path


def test_a_blank_sheet_is_written_once(tmp_path, said):
    path = tmp_path / "mine.toml"
    assert "calibre check" in said(new, path, name="Mine")
    assert "1 of" not in path.read_text(encoding="utf-8")
    with pytest.raises(InputError, match="exists already"):
        new(path)


def test_a_sheet_cannot_be_written_nowhere(tmp_path):
    with pytest.raises(InputError, match="cannot write"):
        new(tmp_path / "none" / "mine.toml")


def test_a_sheet_may_start_from_a_shipped_one(said):
    assert 'name = "Tarnbrook 31"' in said(new, like="tarnbrook-31")
    with pytest.raises(InputError, match="tarnbrook-31"):
        new(like="unknown")


def test_an_old_sheet_is_converted_and_never_overwritten(said, tmp_path):
    old, mine = tmp_path / "old.toml", tmp_path / "mine.toml"
    old.write_text('name = "A"\n[barrel]\nspan_mm = "2.70+-0.02"\n', encoding="utf-8")
    assert "95 % interval" in said(convert, old, mine)
    assert sheet_at(str(mine)).barrel.span_mm.u == 0.02
    for wrong, match in ((old, "exists already"), (tmp_path / "none" / "x.toml", "cannot convert")):
        with pytest.raises(InputError, match=match):
            convert(old, wrong)


def test_the_check_says_how_the_sign_is_read(said):
    assert "calibre convert OLD NEW" in " ".join(said(check, "tarnbrook-31").split())


def test_a_check_says_the_sentence_first(said):
    text = said(check, "tarnbrook-31")
    assert text.startswith("Tarnbrook 31: 12 of 14 computations are possible")
    assert "From memory" in text


def test_a_contradicting_sheet_ends_with_an_error(tmp_path, capsys):
    path = tmp_path / "bad.toml"
    path.write_text(shipped_text("tarnbrook-31").replace("wheel = 70", "wheel = 72"), "utf-8")
    with pytest.raises(InputError, match="18514"):
        check(str(path))
    assert "contradict" in capsys.readouterr().out


def test_a_train_is_told_in_a_sentence(said):
    assert said(train, "tarnbrook-31").startswith(
        "Tarnbrook 31 beats 18000 times an hour (2.5 Hz). The barrel turns once in 8 h."
    )


def test_a_motion_work_is_checked_or_completed(said, tmp_path):
    path = tmp_path / "own.toml"
    assert "The motion work is right: 12 to 1." in said(train, "tarnbrook-31")
    text = shipped_text("tarnbrook-31")
    path.write_text(text.replace("hour_wheel = 40\n", ""), encoding="utf-8")
    assert "missing hour wheel has 40" in said(train, str(path))
    path.write_text(text.replace("hour_wheel = 40\n", "hour_wheel = 41\n"), encoding="utf-8")
    with pytest.raises(InputError, match=r"41.*12\.3 turns"):
        train(str(path))


def test_an_answer_without_known_sizes_does_not_claim_to_fit(said, tmp_path):
    path = tmp_path / "own.toml"
    text = shipped_text("tarnbrook-31").replace(", centre_distance_mm = 4.25", "")
    path.write_text(text, encoding="utf-8")
    assert "not all sizes known" in said(train, str(path), lost=["third.wheel"])


def test_a_heard_period_lists_every_suspect(figures):
    found = figures(train, "tarnbrook-31", heard_s="6.0+-0.04")
    assert found["schema"] == "sideshake.train-heard"
    assert [each["what"] for each in found["suspects"]] == [
        "escape, one turn",
        "third wheel and fourth pinion, one tooth",
    ]


def test_a_heard_period_may_point_at_one_thing_or_none(said):
    assert "one thing: third, one turn" in said(train, "tarnbrook-31", heard_s="450+-4")
    assert "Nothing" in said(train, "tarnbrook-31", heard_s="100+-1.0")


def test_harmonics_and_what_lies_between_beats_are_offered(said, figures):
    text = " ".join(said(train, "tarnbrook-31", heard_s="30 ± 0.2").split())
    assert text.startswith("Nothing in the train of Tarnbrook 31 comes round every 30.00 ± 0.20 s.")
    assert "fourth, one turn with the seconds hand, every 60 s (second harmonic)" in text
    assert "too fast" not in text
    fast = " ".join(said(train, "tarnbrook-31", heard_s="0.6 ± 0.01").split())
    assert "too fast for the beats to follow" in fast
    assert "chronograph seconds wheel, one tooth, every 0.300 s" in fast
    assert figures(train, "tarnbrook-31", heard_s="37.0 ± 0.2")["overtones"] == []


def test_the_time_that_tells_suspects_apart_is_said(said):
    text = said(train, "tarnbrook-31", heard_s="6.0+-0.04")
    assert "no recording tells them apart" in text
    # 1/(1/360 - 1/450) = 1800 s
    assert "at least 1800 s tells them apart" in said(train, "tarnbrook-31", heard_s="400+-60")


def test_some_suspects_may_never_be_told_apart(said):
    assert "tells those that differ apart" in said(train, "tarnbrook-31", heard_s="20+-30")


def test_what_is_from_memory_is_said(said):
    assert "From memory in this sheet: mainspring.elastic_gpa" in said(spring, "tarnbrook-31")
    assert "bridle slips" in said(spring, "lindquell-25")


def test_a_default_share_is_said_to_be_from_memory(said, tmp_path):
    path = tmp_path / "own.toml"
    lines = shipped_text("tarnbrook-31").splitlines()
    text = "\n".join(line for line in lines if not line.startswith("viscous_share"))
    path.write_text(text, encoding="utf-8")
    assert "Viscous share 0.8 ± 0.3: from memory" in said(spring, str(path), amplitude_deg="215+-8")


def test_a_lost_wheel_is_solved_from_what_the_sheet_knows(figures):
    found = figures(train, "tarnbrook-31", lost=["third.wheel", "third.pinion"])
    assert found["answers"][0]["found"] == {"third.pinion": 10, "third.wheel": 75}
    assert found["answers"][0]["fits"]
    assert len(found["answers"]) > 5


def test_a_lost_barrel_needs_its_speed(said):
    with pytest.raises(NotEnough, match=r"barrel\.wheel"):
        train("tarnbrook-31", lost=["barrel.wheel"])
    assert "barrel.wheel 80" in said(
        train, "tarnbrook-31", lost=["barrel.wheel"], speed=["barrel=1/8"]
    )


@pytest.mark.parametrize(
    ("options", "part"),
    [
        ({"count": ["third.pinion=12", "third.pinion=13"]}, r"12 and 13"),
        ({"count": ["third.pinion=12"]}, r"10.*12"),
        ({"count": ["third.pinion=ten"]}, "ten"),
        ({"count": ["third.pinion"]}, r"third\.pinion=12"),
        ({"count": ["sixth.pinion=12"]}, "sixth"),
        ({"lost": ["third.leaf"]}, r"third\.leaf"),
        ({"lost": ["escape.wheel"]}, "escape wheel"),
        ({"lost": ["third.wheel"], "speed": ["fourth=61"]}, r"60.*61"),
        ({"heard_s": "often"}, "heard-s"),
    ],
)
def test_bad_options_are_named(options, part):
    with pytest.raises(InputError, match=part):
        train("tarnbrook-31", **options)


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


def test_winding_tells_crown_and_rotor(said):
    text = said(winding, "lindquell-25")
    assert "turns of the crown" in text
    assert "The rotor runs free." in text
    assert "rotor" not in said(winding, "tarnbrook-31")


def test_a_worn_rotor_is_told_with_its_probability(said):
    assert "bearing is worn" in said(winding, "lindquell-25", rotor_play_mm="0.018+-0.002")
    text = said(winding, "lindquell-25", rotor_play_mm="0.03+-0.006")
    assert "renew its bearing" in text
    with pytest.raises(Lacking, match="no rotor"):
        winding("tarnbrook-31", rotor_play_mm="0.03")


def test_forbidden_hours_of_a_sheet(said):
    text = said(quickset, "lindquell-25")
    assert text.startswith("Lindquell 25: do not set the date on its own from 19:44 to 2:23.")
    assert "hour hand between 2:23 and 7:44" in text
    assert "NOT safe" in text
    assert "hairline cracks" in text


def test_forbidden_hours_of_watched_hand_times(figures):
    found = figures(quickset, touch="21:30", jump="0:06", free="1:00", read_to_min=3.0)
    assert found["engagement"]["known_by"] == "hand times watched"
    assert found["forbidden_from_h"] == pytest.approx(21.5 - 1 - 0.1)
    assert found["forbidden_to_h"] == pytest.approx(2.1)


def test_an_unknown_calibre_gets_the_widest_window(said):
    text = said(quickset)
    assert "from 20:00 to 4:00" in text
    assert "published windows disagree" in text


def test_two_hand_times_are_not_enough():
    with pytest.raises(InputError, match="all three"):
        quickset(touch="21:30", jump="0:06")
    with pytest.raises(Lacking, match="calendar"):
        quickset("tarnbrook-31")


@pytest.mark.parametrize("name", shipped_names())
def test_pictures_are_written(name, tmp_path):
    train(name, pictures=tmp_path)
    spring(name, pictures=tmp_path)
    assert {each.name for each in tmp_path.iterdir()} == {"train.svg", "torque.svg"}


def test_a_dial_is_drawn(tmp_path):
    quickset("lindquell-25", pictures=tmp_path / "new")
    assert "do not set" in (tmp_path / "new" / "quickset.svg").read_text(encoding="utf-8")


def test_a_picture_that_cannot_be_written_is_an_input_error(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="cannot write"):
        train("tarnbrook-31", pictures=blocked)


@pytest.mark.parametrize(
    "tokens",
    [
        ["calibre", "check", "tarnbrook-31", "--json"],
        ["train", "tarnbrook-31", "--heard-s", "6.0+-0.10", "--json"],
        ["train", "tarnbrook-31", "--lost", "third.wheel", "--lost", "third.pinion", "--json"],
        ["spring", "tarnbrook-31", "--amplitude-deg", "215+-8", "--json"],
        ["winding", "lindquell-25", "--json"],
        ["quickset", "lindquell-25", "--rule", "3", "7", "--json"],
    ],
)
def test_every_command_gives_versioned_json(tokens, capsys):
    app(tokens, result_action="return_value")
    found = json.loads(capsys.readouterr().out)
    assert found["schema"].startswith("sideshake.")
    assert found["version"] == (2 if tokens[0] == "spring" else 1)
    assert found["sentences"]


def test_the_sheets_own_viscous_share_is_used(figures, tmp_path):
    own = tmp_path / "own.toml"
    text = shipped_text("tarnbrook-31")
    assert 'viscous_share = { value = "0.8+-0.30"' in text
    own.write_text(text.replace('"0.8+-0.30"', "1.0"), encoding="utf-8")
    missing = figures(spring, str(own), amplitude_deg="240+-6")["torque_missing"]["value"]
    assert missing == pytest.approx(1 - (240 / 285) ** 2)


def test_a_dial_that_tells_morning_from_evening_may_be_set_in_the_other_half(said, tmp_path):
    own = tmp_path / "own.toml"
    text = shipped_text("lindquell-25")
    assert "dial_shows_half_day = false" in text
    own.write_text(text.replace("half_day = false", "half_day = true"), encoding="utf-8")
    assert "does not tell morning" in said(quickset, "lindquell-25")
    assert "does not tell morning" not in said(quickset, str(own))


def test_a_sheet_without_date_work_names_what_lacks_and_what_for():
    with pytest.raises(InputError, match=r"calendar.*forbidden hours"):
        quickset("tarnbrook-31")
