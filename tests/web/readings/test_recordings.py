"""Recordings heard, through the pages."""

import io
from dataclasses import replace
from pathlib import Path
from threading import Event

import numpy as np
import pytest
import soundfile
from django.core.files.uploadedfile import SimpleUploadedFile

from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, Recorder, SimulatedWatch, simulate
from sideshake.web.comparison.turning import stems_in
from sideshake.web.models import Reading, Recording, Watch
from sideshake.web.readings import hearing

TRUTH = SimulatedWatch(
    beats_per_hour=18000, rate_s_per_day=12.0, amplitude_deg=262.0, lift_angle_deg=50.0
)


def sound(watch=TRUTH, *, duration_s=20.0, seed=5) -> bytes:
    samples = simulate(
        watch,
        duration_s=duration_s,
        room=RoomNoise(snr_db=25.0),
        recorder=Recorder(rate_hz=48000),
        seed=seed,
    ).samples
    return flac(samples, 48000)


def flac(samples, rate_hz) -> bytes:
    written = io.BytesIO()
    soundfile.write(written, samples, rate_hz, format="FLAC", subtype="PCM_16")
    return written.getvalue()


@pytest.fixture(scope="module")
def ticking():
    return sound()


def upload(client, visit, data: bytes, **typed):
    given = {"position": "CH", "wound": "full", **typed}
    given["recordings"] = SimpleUploadedFile("../up.wav", data, "audio/wav")
    return client.post(f"/visits/{visit.number}/recordings/add/", given)


def test_a_recording_is_stored_and_heard(client, visit, ticking, data):
    assert upload(client, visit, ticking).status_code == 302
    reading = Reading.objects.get()
    assert reading.state == "heard"
    # planted: 12 s a day, 262°; the simulated recorder's clock is true, the interval allows for it
    assert abs(reading.rate_s_per_day - 12.0) < 2 * reading.rate_u_s_per_day
    assert abs(reading.amplitude_deg - 262.0) < 3.0
    assert (Path(data) / "files" / "recordings" / reading.recording.stored).exists()


def test_what_a_difference_needs_is_kept_with_the_reading(client, visit, ticking):
    upload(client, visit, ticking, lift_angle_deg="50")
    reading = Reading.objects.get()
    assert 0 < reading.rate_alone_u_s_per_day < 0.1 * reading.rate_u_s_per_day
    kept = [reading.figures[name] for name in ("lift_angle_deg", "lift_angle_u_deg", "recorder")]
    assert kept == [50.0, 0.0, "this computer"]


def test_the_page_says_what_the_command_says(client, visit, ticking, tmp_path, capsys):
    from sideshake.command.hear import hear

    path = tmp_path / "same.flac"
    path.write_bytes(ticking)
    hear((str(path),), calibre="tarnbrook-31")
    upload(client, visit, ticking)
    said = " ".join(capsys.readouterr().out.split())
    assert Reading.objects.get().sentence in said


BY_THE_SHEET = "18,000 beats an hour by the calibre sheet"


def test_the_page_says_that_the_beats_are_the_calibre_sheet_s(client, visit, ticking):
    upload(client, visit, ticking)
    reading = Reading.objects.get()
    page = client.get(f"/readings/{reading.pk}/").content.decode()
    assert (reading.beats_per_hour, BY_THE_SHEET in page) == (18000, True)
    assert "Taken as" not in page


def test_the_page_says_that_the_beats_are_taken_where_no_sheet_tells_them(client, visit, ticking):
    Watch.objects.update(calibre="")
    upload(client, visit, ticking)
    reading = Reading.objects.get()
    page = client.get(f"/readings/{reading.pk}/").content.decode()
    assert reading.rate_s_per_day is not None
    assert "Taken as 18000 beats an hour, the nearest usual number, 12 s a day away" in page
    assert BY_THE_SHEET not in page


def test_beats_that_are_not_clearly_usual_give_no_rate_but_how_to_tell_them(client, visit):
    Watch.objects.update(calibre="")
    upload(client, visit, sound(SimulatedWatch(beats_per_hour=16269.0), duration_s=8.0))
    reading = Reading.objects.get()
    assert (reading.state, reading.beats_per_hour, reading.rate_s_per_day) == ("heard", None, None)
    assert reading.sentence.startswith("Beats 16269")
    page = client.get(f"/readings/{reading.pk}/").content.decode()
    assert "say how many it should be, by the calibre sheet or with" in page


def test_silence_gives_a_reason_and_no_figure(client, visit):
    upload(client, visit, flac(np.zeros(48000 * 10), 48000))
    reading = Reading.objects.get()
    assert (reading.state, reading.rate_s_per_day, reading.sentence) == ("no-reading", None, "")
    assert "No reading" in client.get(f"/readings/{reading.pk}/").content.decode()


def wav(samples) -> bytes:
    written = io.BytesIO()
    soundfile.write(written, samples, 48000, format="WAV", subtype="PCM_16")
    return written.getvalue()


@pytest.mark.parametrize("count", [0, 1, 2, 3, 7, 30, 48])
def test_a_few_samples_are_a_reading_that_says_so(client, visit, count):
    assert upload(client, visit, wav(np.full(count, 0.1))).status_code == 302
    reading = Reading.objects.get()
    assert reading.state == "no-reading"
    assert "too short" in reading.no_reading or reading.no_reading == "there is no sound"
    assert client.get(f"/readings/{reading.pk}/").status_code == 200
    assert client.get(f"/readings/{reading.pk}/slowly/").status_code < 500


@pytest.mark.django_db(transaction=True)
def test_a_few_samples_do_not_stop_the_hearing_in_the_background(client, visit, ticking):
    for data in (wav(np.full(7, 0.1)), ticking):
        upload(client, visit, data)
    Reading.objects.update(state="waiting", sentence="", no_reading="")
    hearing.hear_waiting()
    short, whole = Reading.objects.order_by("pk")
    assert (short.state, whole.state) == ("no-reading", "heard")


@pytest.mark.django_db(transaction=True)
def test_a_fault_of_ours_is_told_at_its_reading_and_the_next_one_is_heard(
    client, visit, ticking, monkeypatch, caplog
):
    for _each in range(2):
        upload(client, visit, ticking)
    Reading.objects.update(state="waiting", sentence="")
    first, second = Reading.objects.order_by("pk")
    real = hearing.read

    def faulty(reading, *rest):
        if reading.pk == first.pk:
            raise ValueError("planted")
        return real(reading, *rest)

    monkeypatch.setattr(hearing, "read", faulty)
    hearing.hear_waiting()
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.state, second.state) == ("no-reading", "heard")
    assert "a fault in the program" in first.no_reading
    assert (first.rate_s_per_day, first.sentence) == (None, "")
    assert "planted" in caplog.text
    assert "a fault in the program" not in second.no_reading


LIES = {  # what a header says: how many bytes, Hz, channels
    "ten times as long": (2_000_000, 48000, 1), "nothing in it": (0, 48000, 1),
    "no channel": (96_000, 48000, 0), "no rate": (96_000, 0, 1), "4 GHz": (96_000, 2**32 - 1, 1),
}  # fmt: skip


@pytest.mark.parametrize("lie", LIES)
def test_a_lying_header_is_refused_in_one_line(client, visit, lie):
    size, rate_hz, channels = LIES[lie]
    whole = bytearray(wav(np.zeros(96_000)))
    whole[22:24] = channels.to_bytes(2, "little")
    whole[24:28] = rate_hz.to_bytes(4, "little")
    whole[40:44] = size.to_bytes(4, "little")
    answer = upload(client, visit, bytes(whole))
    assert answer.status_code == 422
    assert not Reading.objects.exists()


def test_what_is_no_recording_is_refused_and_nothing_is_kept(client, visit, data):
    answer = upload(client, visit, b"MZ this is no sound")
    assert answer.status_code == 422
    assert not Recording.objects.exists()
    assert not list((Path(data) / "files" / "recordings").iterdir())


def test_before_and_after_are_compared_with_their_uncertainty(client, visit, ticking):
    weak = SimulatedWatch(
        beats_per_hour=18000, rate_s_per_day=-48, amplitude_deg=205, lift_angle_deg=50
    )
    upload(client, visit, sound(weak, seed=6))
    upload(client, visit, ticking, after="on")
    page = client.get(f"/visits/{visit.number}/").content.decode()
    assert "further than before (CH, dial up)." in page


def test_no_pair_heard_in_the_same_way_is_not_compared(client, visit, ticking):
    upload(client, visit, ticking)
    upload(client, visit, ticking, after="on", position="FH")
    assert "than before" not in client.get(f"/visits/{visit.number}/").content.decode()


def test_another_lift_angle_is_another_amplitude(client, visit, ticking):
    upload(client, visit, ticking)
    reading = Reading.objects.get()
    before = reading.amplitude_deg
    typed = {"position": "CH", "wound": "full", "lift_angle_deg": "52,5", "seen": reading.version}
    assert client.post(f"/readings/{reading.pk}/edit/", typed).status_code == 302
    reading.refresh_from_db()
    assert reading.state == "heard"
    assert reading.amplitude_deg == pytest.approx(before * 52.5 / 50, rel=1e-3)


def test_with_a_calibre_sheet_the_lateness_is_a_ring_with_its_figures(client, visit):
    """Planted: an escape wheel of fifteen teeth, as the sheet says, out of round by 0.15 ms."""
    bent = replace(TRUTH, wheels=(DisturbingWheel(period_s=6.0, delay_ms=0.15),))
    upload(client, visit, sound(bent, duration_s=45.0))
    reading = Reading.objects.get()
    said = client.get(f"/readings/{reading.pk}/").content.decode()
    assert "With each turn of the escape wheel the beats swing early and late by 0.1" in said
    assert said.count("<td>tick</td>") == said.count("<td>tock</td>") == 15
    assert len(stems_in(reading.figures)) == 30
    late_s = np.array(reading.figures["turn"]["late_s"])
    assert np.ptp(late_s) == pytest.approx(0.3e-3, abs=0.04e-3)
    for kind, words in (
        ("lateness", b"one turn of the escape wheel"), ("unrolled", b"Lateness along time"),
        ("amplitude", b"Amplitude along time"),
    ):  # fmt: skip
        assert words in picture(client, reading, kind)


def test_without_a_calibre_sheet_no_teeth_are_assumed(client, visit):
    visit.watch.calibre = ""
    visit.watch.save()
    upload(client, visit, sound(duration_s=30.0))
    reading = Reading.objects.get()
    assert reading.figures["turn"] is None
    assert "The turn in figures" not in client.get(f"/readings/{reading.pk}/").content.decode()
    assert b"Lateness along time" in picture(client, reading, "lateness")
    assert client.get(f"/readings/{reading.pk}/unrolled.svg").status_code == 422


def picture(client, reading, kind) -> bytes:
    return b"".join(client.get(f"/readings/{reading.pk}/{kind}.svg").streaming_content)


def test_pictures_are_drawn_and_the_sound_is_played_in_parts(client, visit, ticking):
    upload(client, visit, ticking)
    pk = Reading.objects.get().pk
    for kind in ("lateness", "portrait"):
        answer = client.get(f"/readings/{pk}/{kind}.svg")
        assert b"".join(answer.streaming_content).startswith(b"<svg")
    part = client.get(f"/readings/{pk}/sound/", headers={"range": "bytes=10-19"})
    assert (part.status_code, part["Content-Range"]) == (206, f"bytes 10-19/{len(ticking)}")
    assert b"".join(part.streaming_content) == ticking[10:20]
    none = client.get(f"/readings/{pk}/sound/", headers={"range": "bytes=999999999-"})
    assert none.status_code == 416


@pytest.mark.django_db(transaction=True)
def test_a_reading_left_waiting_is_taken_up_again(client, visit, ticking):
    upload(client, visit, ticking)
    Reading.objects.update(state="waiting", sentence="")
    hearing.hear_waiting()
    assert Reading.objects.get().state == "heard"


@pytest.mark.django_db(transaction=True)
def test_a_reading_stays_waiting_when_the_workshop_closes(client, visit, ticking, monkeypatch):
    upload(client, visit, ticking)
    Reading.objects.update(state="waiting", sentence="")
    monkeypatch.setattr(hearing, "BLOCKS_BETWEEN", 1)
    closing = Event()
    closing.set()
    hearing.hear_waiting(closing)
    assert Reading.objects.get().state == "waiting"
    hearing.hear_waiting(Event())
    assert Reading.objects.get().state == "heard"


def test_a_waiting_reading_can_be_stopped(client, visit, ticking):
    upload(client, visit, ticking)
    Reading.objects.update(state="waiting")
    pk = Reading.objects.get().pk
    assert "http-equiv" in client.get(f"/readings/{pk}/").content.decode()
    client.post(f"/readings/{pk}/stop/")
    assert Reading.objects.get().no_reading == "stopped before the end"


def test_pages_ask_few_questions_and_open_to_no_stranger(
    client,
    stranger,
    apprentice_client,
    visit,
    ticking,
    shipped_sizes,
    django_assert_max_num_queries,
):
    client.post(f"/visits/{visit.number}/measure/", shipped_sizes)
    upload(client, visit, ticking)
    pk, root = Reading.objects.get().pk, f"/visits/{visit.number}/"
    for page in (root, f"{root}measure/", f"{root}jewel/above/", f"{root}recordings/add/",
                 f"/readings/{pk}/", f"/readings/{pk}/edit/"):  # fmt: skip
        assert stranger.get(page).status_code == 302
        assert apprentice_client.get(page).status_code == 200
        with django_assert_max_num_queries(16):
            assert client.get(page).status_code == 200
