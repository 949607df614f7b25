"""The commands calibre, train, winding and quickset as a watchmaker uses them."""

import json
import re

import pytest

from sideshake.command.barrel import barrel
from sideshake.command.calibre import check, convert, new
from sideshake.command.main import app
from sideshake.command.quickset import quickset
from sideshake.command.spring import spring
from sideshake.command.train import train
from sideshake.command.winding import winding
from sideshake.core.errors import InputError, Lacking, NotEnough
from sideshake.movement.sheet_file import sheet_at, shipped_names, shipped_sheet, shipped_text


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
    assert text.startswith("Tarnbrook 31: 14 of 18 computations are possible")
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
        ({"lost": ["escape.leaf"]}, r"escape\.leaf"),
        ({"lost": ["third.wheel"], "speed": ["fourth=61"]}, r"60.*61"),
        ({"heard_s": "often"}, "heard-s"),
    ],
)
def test_bad_options_are_named(options, part):
    with pytest.raises(InputError, match=part):
        train("tarnbrook-31", **options)


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


def test_a_wrong_sheet_says_what_cannot_be_and_where_to_look(tmp_path, capsys):
    path = tmp_path / "wrong.toml"
    path.write_text(
        shipped_text("tarnbrook-31").replace('span_mm = "2.70', 'span_mm = "7.70'), "utf-8"
    )
    with pytest.raises(InputError, match=r"barrel\.span_mm"):
        check(str(path))
    text = " ".join(capsys.readouterr().out.split())
    assert "things in it cannot be. Look at barrel.span_mm first" in text


def test_what_is_odd_warns_and_ends_well(tmp_path, said, figures):
    path = tmp_path / "odd.toml"
    path.write_text(shipped_text("tarnbrook-31").replace("jewels = 17", "jewels = 5"), "utf-8")
    assert "1 thing is odd, but possible." in said(check, str(path))
    (fault,) = figures(check, str(path))["faults"]
    assert fault["lines"] == "jewels"
    assert fault["cannot_be"] is False
    assert "odd" not in said(check, "tarnbrook-31")


def test_winding_says_key_or_crown_and_the_rotor_s_way(said, tmp_path):
    assert "4.00 ± 0.10 turns of the key wind it fully" in said(winding, "aldermoor-45")
    assert "4.00 ± 0.10 turns of the key" in said(winding, "vennick-41")
    text = shipped_text("vennick-41").replace("stop_work_turns = 4\n", "")
    (tmp_path / "no-count.toml").write_text(text, "utf-8")
    told = said(winding, str(tmp_path / "no-count.toml"))
    assert "(maltese cross) lets through is not in the sheet" in told
    assert "lets through" not in said(winding, "vennick-41")
    assert "turns of the crown" in said(winding, "tolvane-26")
    assert "It winds one way only" in said(winding, "tolvane-26")
    assert "It winds both ways" in said(winding, "marrowick-30")
    assert "It winds" not in said(winding, "tarnbrook-31")


def parts(figures, sheet):
    return {each["what"] for each in figures(train, sheet)["periods"]}


def test_the_train_says_fusee_and_indirect_seconds(said, figures):
    assert "The fusee turns once in 7.5 h" in said(train, "aldermoor-45")
    indirect = said(train, "tolvane-26")
    assert "driven indirectly, by the third arbor" in indirect
    assert "third's second wheel and seconds pinion, one tooth" in parts(figures, "tolvane-26")
    plain = said(train, "tarnbrook-31")
    assert "indirectly" not in plain
    assert "The barrel turns once in 8 h" in plain


def test_a_friction_clutch_has_no_tooth_that_comes_round(figures, tmp_path):
    assert "chronograph seconds wheel, one tooth" in parts(figures, "tarnbrook-31")
    path = tmp_path / "clutch.toml"
    text = shipped_text("tarnbrook-31").replace('"swinging wheel"', '"vertical clutch"')
    path.write_text(text, "utf-8")
    assert "chronograph seconds wheel, one tooth" not in parts(figures, str(path))


def test_a_whole_lost_arbor_is_solved_by_its_name(said, figures):
    assert "One answer: escape.wheel 15." in said(train, "tarnbrook-31", lost=["escape.wheel"])
    both = figures(train, "tarnbrook-31", lost=["third", "escape"])["answers"]
    assert len(both) == 16
    assert both[0]["found"] == {
        "third.pinion": 10,
        "third.wheel": 75,
        "escape.pinion": 7,
        "escape.wheel": 15,
    }


def test_two_windows_are_said_and_each_is_drawn(said, figures, tmp_path):
    text = said(quickset, "tolvane-26", pictures=tmp_path)
    assert "do not set the date on its own from 18:56 to 2:34" in text
    assert "The day of the week has a finger of its own: do not set it from 22:00 to 4:10" in text
    date, day = (
        (tmp_path / f"{name}.svg").read_text("utf-8") for name in ("quickset", "quickset-day")
    )
    assert "setting the date" in date
    assert "setting the day" in day
    assert figures(quickset, "tolvane-26")["day"]["forbidden_from_h"] == pytest.approx(22.0)
    assert "day of the week" not in said(quickset, "lindquell-25", pictures=tmp_path / "one")
    assert not (tmp_path / "one" / "quickset-day.svg").exists()


@pytest.mark.parametrize("name", ["aldermoor-45", "marrowick-30", "tolvane-26", "vennick-41"])
def test_the_new_sheets_pass_every_command_or_are_told_plainly(name, said):
    check(name)
    for command in (train, spring, winding):
        assert said(command, name)
    assert said(barrel, name)
    if shipped_sheet(name).calendar is not None:
        assert said(quickset, name)
    else:
        with pytest.raises(Lacking, match="calendar"):
            quickset(name)


def test_answers_that_no_size_chooses_between_are_not_called_fitting(said, tmp_path):
    text = re.sub(
        r", (pinion_module|centre_distance)_mm = [\d.]+", "", shipped_text("tarnbrook-31")
    )
    (tmp_path / "bare.toml").write_text(text, "utf-8")
    bare = said(train, str(tmp_path / "bare.toml"), lost=["third"])
    assert "8 answers in whole numbers, no size is known that would choose" in bare
    assert "1 of them in keeping with the sizes" in said(train, "tarnbrook-31", lost=["third"])
