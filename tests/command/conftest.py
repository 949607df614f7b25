import json
from dataclasses import dataclass

import numpy as np
import pytest
import soundfile

from sideshake.command.main import main
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import Recorder, SimulatedWatch, simulate
from tests.sound.stepping import stepping

RATE_HZ = 48000
OLD_WATCH = SimulatedWatch(
    beats_per_hour=18000, rate_s_per_day=12.0, amplitude_deg=250.0, beat_error_ms=1.5
)
YOUNG_WATCH = SimulatedWatch(beats_per_hour=28800, rate_s_per_day=-8.0, amplitude_deg=290.0)
ODD_WATCH = SimulatedWatch(beats_per_hour=17000, amplitude_deg=250.0)


@dataclass(frozen=True, slots=True)
class Said:
    code: int
    out: str
    err: str

    @property
    def text(self):
        return " ".join(self.out.split())


@pytest.fixture
def sideshake(capsys, monkeypatch, tmp_path):
    """Run the command line as from a shell, with a config folder of its own."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("COLUMNS", "80")

    def run(*tokens):
        capsys.readouterr()
        with pytest.raises(SystemExit) as end:
            main([str(token) for token in tokens])
        caught = capsys.readouterr()
        return Said(end.value.code or 0, caught.out, caught.err)

    return run


def ticking(watch, *, seconds=12.0, clock_ppm=0.0, seed=1):
    return simulate(
        watch, duration_s=seconds, room=RoomNoise(snr_db=25.0),
        recorder=Recorder(rate_hz=RATE_HZ, clock_ppm=clock_ppm), seed=seed,
    ).samples  # fmt: skip


@pytest.fixture
def quartz(tmp_path):
    """Write the recording of a quartz watch by a recorder whose clock is `clock_ppm` fast."""

    def write(**how):
        path = tmp_path / "quartz.wav"
        soundfile.write(path, stepping(**how), RATE_HZ)
        return path

    return write


@pytest.fixture(scope="session")
def sounds(tmp_path_factory):
    """A folder of recordings, good and bad."""
    folder = tmp_path_factory.mktemp("sounds")
    old = ticking(OLD_WATCH)
    for name, samples in {
        "old.wav": old, "old.flac": old, "young.wav": ticking(YOUNG_WATCH, seed=2),
        "odd.wav": ticking(ODD_WATCH, seed=3),
        "quartz.wav": stepping(seconds=310.0, clock_ppm=30.0),
        "gains-5-clock-30.wav": ticking(
            SimulatedWatch(rate_s_per_day=5.0, amplitude_deg=260.0), clock_ppm=30.0, seed=4
        ),
        "knocking.wav": ticking(SimulatedWatch(amplitude_deg=345.0), seed=6),
        "silence.wav": np.zeros(5 * RATE_HZ),
        "noise.wav": np.random.default_rng(5).normal(0, 0.1, 5 * RATE_HZ),
    }.items():  # fmt: skip
        soundfile.write(folder / name, (32767 * samples.clip(-1, 1)).astype(np.int16), RATE_HZ)
    soundfile.write(folder / "nan.wav", np.where(old > 0.29, np.nan, old), RATE_HZ, subtype="FLOAT")
    whole = (folder / "old.wav").read_bytes()
    (folder / "cut-short.wav").write_bytes(whole[: len(whole) // 2])
    (folder / "empty.wav").write_bytes(b"")
    (folder / "letter.wav").write_text("Dear Sir, the watch stops at night. " * 50)
    (folder / "wrong-ending.mp3").write_bytes(whole)
    for rate_hz in (0, 1, 8000, 1_000_000):
        (folder / f"at-{rate_hz}-hz.wav").write_bytes(
            whole[:24] + rate_hz.to_bytes(4, "little") + (2 * rate_hz).to_bytes(4, "little")
            + whole[32:]
        )  # fmt: skip
    return folder


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
