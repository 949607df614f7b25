"""`sideshake hear-again`: the same as the page, from the command line."""

import io
import json
from dataclasses import dataclass

import pytest
import soundfile
from django.core.files.uploadedfile import SimpleUploadedFile

from sideshake.command.main import main
from sideshake.core.version import EAR, PROGRAM
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import Recorder, SimulatedWatch, simulate
from sideshake.web.models import Earlier, Reading, Recording, Rehearing
from sideshake.web.rehearing import services as hearing_again

OLD_RATE = -77.25


@dataclass(frozen=True, slots=True)
class Said:
    code: int
    out: str
    err: str


@pytest.fixture
def hear_again(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "160")

    def run(*tokens: str) -> Said:
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main(["hear-again", *map(str, tokens)])
        caught = capsys.readouterr()
        return Said(ended.value.code or 0, caught.out, " ".join(caught.err.split()))

    return run


@pytest.fixture
def two(client, visit):
    """Two readings, CH and FH, that the first ear has heard."""
    sound = simulate(
        SimulatedWatch(
            beats_per_hour=18000, rate_s_per_day=12.0, amplitude_deg=262.0, lift_angle_deg=50.0
        ),
        duration_s=12.0,
        room=RoomNoise(snr_db=25.0),
        recorder=Recorder(rate_hz=48000),
        seed=5,
    )
    written = io.BytesIO()
    soundfile.write(written, sound.samples, 48000, format="FLAC", subtype="PCM_16")
    for position in ("CH", "FH"):
        upload = SimpleUploadedFile("up.flac", written.getvalue(), "audio/flac")
        given = {"position": position, "wound": "full", "recordings": upload}
        client.post(f"/visits/{visit.number}/recordings/add/", given)
    Reading.objects.update(ear=1, program="", rate_s_per_day=OLD_RATE, sentence="Loses 77.")
    return list(Reading.objects.order_by("pk"))


def rates() -> list[float]:
    return list(Reading.objects.order_by("pk").values_list("rate_s_per_day", flat=True))


@pytest.mark.parametrize("whose", ["--watch", "--visit", "--all"])
def test_each_way_hears_them_again(hear_again, two, visit, whose):
    value = {"--watch": [visit.watch_id], "--visit": [visit.number], "--all": []}[whose]
    said = hear_again(whose, *value)
    assert (said.code, said.err) == (0, "")
    assert "2 heard again." in said.out
    assert "2026-001, CH, dial up, fully wound, as it came" in said.out
    assert f"/hear-again/{Rehearing.objects.get().pk}/ in the workshop puts them back" in said.out
    assert OLD_RATE not in rates()
    assert Rehearing.objects.get().ended_at is not None


def test_json_tells_before_and_now_each_with_its_ear(hear_again, two):
    found = json.loads(hear_again("--all", "--json").out)
    assert (found["schema"], found["version"]) == ("sideshake.heard-again", 1)
    assert (found["program"], found["ear"]) == (PROGRAM, EAR)
    first = found["readings"][0]
    assert (first["fate"], first["before"]["ear"], first["before"]["program"]) == ("heard", 1, "")
    assert first["before"]["rate_s_per_day"] == OLD_RATE
    assert (first["now"]["ear"], first["now"]["program"]) == (EAR, PROGRAM)
    # planted: 12 s a day
    now = first["now"]
    assert abs(now["rate_s_per_day"] - 12.0) < 2 * now["rate_u_s_per_day"]


def test_what_this_ear_has_heard_only_when_asked_for(hear_again, two):
    hear_again("--all")
    said = hear_again("--all")
    assert said.code == 2
    assert f"this ear ({EAR}) has heard all of them already" in said.err
    assert hear_again("--all", "--everything").code == 0
    assert Rehearing.objects.count() == 2


def test_a_bad_recording_is_named_and_the_other_is_heard(hear_again, two):
    Recording.objects.filter(pk=two[0].recording_id).update(stored="gone.flac")
    said = hear_again("--all")
    assert said.code == 2
    assert said.err == (
        "sideshake: 2026-001, CH, dial up, fully wound, as it came: its recording is not in the "
        "data folder any more; a backup has it"
    )
    assert [rate == OLD_RATE for rate in rates()] == [True, False]


def test_ctrl_c_is_one_line_and_130_and_the_rest_stays(hear_again, two, monkeypatch):
    rehear = hearing_again.rehear
    turns = []

    def interrupted(row, closing=None):
        turns.append(row)
        if len(turns) == 2:
            raise KeyboardInterrupt
        rehear(row, closing)

    monkeypatch.setattr(hearing_again, "rehear", interrupted)
    said = hear_again("--all")
    assert said.code == 130
    assert said.out == ""
    assert said.err == "sideshake: stopped after 1 of 2; the others are as they were"
    assert [rate == OLD_RATE for rate in rates()] == [False, True]
    run = Rehearing.objects.get()
    assert run.stopped
    assert run.ended_at is not None
    assert list(Earlier.objects.order_by("pk").values_list("fate", flat=True)) == ["heard", "left"]


@pytest.mark.parametrize(
    ("tokens", "words"),
    [
        ([], "say whose recordings: --watch N, --visit NUMBER or --all"),
        (["--all", "--watch", "1"], "say whose recordings"),
        (["--watch", "999"], "there is no watch 999"),
        (["--visit", "1999-1"], "there is no visit 1999-1"),
    ],
)
def test_what_makes_no_sense_is_one_line(hear_again, two, tokens, words):
    said = hear_again(*tokens)
    assert said.code == 2
    assert words in said.err
    assert not Rehearing.objects.exists()
