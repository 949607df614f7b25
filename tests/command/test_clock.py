import json
import re

import pytest


def clocks(said):
    tree = json.loads(said.out)
    assert (tree["schema"], tree["version"]) == ("sideshake.clock", 1)
    return tree


def rate(said):
    return json.loads(said.out)["readings"][0]["rate_s_per_day"]


@pytest.mark.parametrize("click_ms", [3.0, 8.0, 15.0])
@pytest.mark.parametrize("clock_ppm", [30.0, -45.0])
def test_a_quartz_watch_tells_how_fast_the_clock_is(sideshake, quartz, click_ms, clock_ppm):
    said = sideshake(
        "clock", quartz(click_ms=click_ms, clock_ppm=clock_ppm), "--within", "0", "--json"
    )
    found = clocks(said)["clock"]
    assert found["fast_ppm"] == pytest.approx(clock_ppm, abs=2 * found["u_ppm"] + 0.2)
    assert found["u_ppm"] < 2.0


def test_a_slow_reference_is_followed_from_page_to_page(sideshake, quartz):
    path = quartz(seconds=130.0, click_ms=8.0, clock_ppm=30.0)
    found = clocks(sideshake("clock", path, "--within", "0", "--json"))["clock"]
    assert found["fast_ppm"] == pytest.approx(30.0, abs=2 * found["u_ppm"] + 0.1)


def test_the_doubt_of_the_reference_is_carried(sideshake, quartz):
    """Uniform within 10 ppm, and within 4 for what the watch corrects itself in five minutes."""
    found = clocks(sideshake("clock", quartz(seconds=300.0, clock_ppm=30.0), "--json"))["clock"]
    assert found["u_ppm"] == pytest.approx((100 + 16) ** 0.5 / 3**0.5, abs=0.1)
    assert found["how"] == "tick"


def test_what_was_found_is_said_and_kept(sideshake, quartz, tmp_path):
    said = sideshake("clock", quartz(seconds=300.0, clock_ppm=30.0))
    assert said.code == 0
    assert re.match(
        r"The clock of this computer is 30 ± 12 ppm fast: watches seem to lose 2\.6 ± 1\.1 s a day "
        r"\(± is the 95 % interval\)\.",
        said.text,
    )
    assert "five minutes make this surer" not in said.text
    assert (tmp_path / "config" / "sideshake" / "clocks.json").is_file()


def test_a_slow_clock_is_said_the_other_way_round(sideshake, quartz):
    said = sideshake("clock", quartz(clock_ppm=-30.0), "--within", "0")
    assert re.search(r"30\S* ± \S+ ppm slow: watches seem to gain 2\.\S+ ± \S+ s a day", said.text)
    assert "Only 20 s were heard" in said.text


def test_a_watch_heard_for_less_than_its_corrections_take_checks_nothing(sideshake, quartz):
    said = sideshake("clock", quartz(clock_ppm=-30.0))
    assert (said.code, said.out) == (3, "")
    assert "no better than the ± 50" in said.err


def test_a_reading_is_corrected_by_the_clock(sideshake, sounds):
    watch = sounds / "gains-5-clock-30.wav"
    before = rate(sideshake("hear", watch, "--json"))
    sideshake("clock", sounds / "quartz.wav")
    after = rate(sideshake("hear", watch, "--json"))
    assert before["value"] == pytest.approx(5.0 - 30 * 0.0864, abs=0.2)
    assert after["value"] == pytest.approx(5.0, abs=0.2)
    assert after["low_95"] <= 5.0 <= after["high_95"]
    assert after["u"] < before["u"] / 3


def test_a_corrected_reading_doubts_its_clock_no_more(sideshake, sounds):
    watch = sounds / "gains-5-clock-30.wav"
    assert "clock was never checked" in sideshake("hear", watch).text
    sideshake("clock", sounds / "quartz.wav")
    said = sideshake("hear", watch)
    assert "never checked" not in said.text
    assert re.search(r"\+30 ± 12 ppm fast, checked \d{4}-\d\d-\d\d", said.text)


def test_any_beat_of_known_rate_is_a_reference(sideshake, sounds):
    watch = sounds / "gains-5-clock-30.wav"
    true_per_hour = 18000 * (1 + 5 / 86400)
    said = sideshake("clock", watch, "--beats-per-hour", true_per_hour, "--within", "0", "--json")
    found = clocks(said)["clock"]
    assert found["fast_ppm"] == pytest.approx(30.0, abs=2 * found["u_ppm"])


def test_clocks_are_listed_and_forgotten(sideshake, sounds):
    assert "No clock has been checked yet" in sideshake("clock").text
    for name in ("bench microphone", "telephone"):
        sideshake("clock", sounds / "quartz.wav", "--recorder", name)
    assert "bench microphone +30 ± 12" in sideshake("clock").text
    assert sideshake("clock", "--forget", "--recorder", "telephone").code == 0
    listed = clocks(sideshake("clock", "--json"))["clocks"]
    assert [each["recorder"] for each in listed] == ["bench microphone"]


def test_a_clock_serves_only_the_recorder_it_was_checked_for(sideshake, sounds):
    sideshake("clock", sounds / "quartz.wav", "--recorder", "telephone")
    watch = sounds / "gains-5-clock-30.wav"
    assert "never checked" in sideshake("hear", watch).text
    assert "never checked" not in sideshake("hear", watch, "--recorder", "telephone").text
    wrong = sideshake("hear", watch, "--recorder", "telefone")
    assert (wrong.code, wrong.out) == (2, "")
    assert "known recorders: telephone" in wrong.err


@pytest.mark.parametrize(
    ("tokens", "expected"),
    [
        (["silence.wav"], (3, "no answer: the sound is silent")),
        (["old.wav"], (2, "beats an hour are heard, not 3600")),
        (["missing.wav"], (2, "cannot be opened")),
        (["quartz.wav", "--beats-per-hour", "0"], (2, "600 to 72000 is allowed")),
        (
            ["quartz.wav", "--beats-per-hour", "3610"],
            (2, "was the reference's beat given rightly?"),
        ),
        (["quartz.wav", "--within", "-1"], (2, "0 to 50 is allowed")),
        (["quartz.wav", "--within", "nan"], (2, "0 to 50 is allowed")),
        (["--forget"], (2, "nothing to forget")),
        (["--frget"], (2, "--frget is no option here")),
    ],
)
def test_what_cannot_be_a_reference_is_one_line_and_keeps_nothing(
    sideshake, sounds, tmp_path, tokens, expected
):
    code, why = expected
    said = sideshake("clock", *(sounds / each if ".wav" in each else each for each in tokens))
    assert (said.code, said.out) == (code, "")
    assert why in said.err
    assert said.err.count("\n") == 1
    assert not (tmp_path / "config").exists()
