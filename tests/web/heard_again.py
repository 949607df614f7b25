"""Recordings that an earlier ear has heard, and what pages and records say of them."""

import io

import soundfile
from django.core.files.uploadedfile import SimpleUploadedFile

from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import Recorder, SimulatedWatch, simulate
from sideshake.web.models import Reading

TRUTH = SimulatedWatch(
    beats_per_hour=18000, rate_s_per_day=12.0, amplitude_deg=262.0, lift_angle_deg=50.0
)
OLD_RATE = -77.25


def flac(samples) -> bytes:
    written = io.BytesIO()
    soundfile.write(written, samples, 48000, format="FLAC", subtype="PCM_16")
    return written.getvalue()


def heard_watch() -> bytes:
    """Return twelve seconds of the watch."""
    samples = simulate(
        TRUTH,
        duration_s=12.0,
        room=RoomNoise(snr_db=25.0),
        recorder=Recorder(rate_hz=48000),
        seed=5,
    ).samples
    return flac(samples)


def upload(client, visit, data: bytes, **typed) -> Reading:
    given = {"position": "CH", "wound": "full", **typed}
    given["recordings"] = SimpleUploadedFile("up.wav", data, "audio/wav")
    assert client.post(f"/visits/{visit.number}/recordings/add/", given).status_code == 302
    return Reading.objects.order_by("-pk")[0]


def of_an_older_ear(*readings: Reading) -> None:
    """As the first ear left them: other figures, no version."""
    Reading.objects.filter(pk__in=[each.pk for each in readings]).update(
        ear=1, program="", rate_s_per_day=OLD_RATE, sentence="Loses 77 s a day."
    )


def page(client, address, status=200) -> str:
    answer = client.get(address)
    assert answer.status_code == status
    return " ".join(answer.content.decode().split())


def rates() -> list[float]:
    return list(Reading.objects.order_by("pk").values_list("rate_s_per_day", flat=True))
