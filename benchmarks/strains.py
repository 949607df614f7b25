"""Hard rooms, hard recorders, odd clocks: what either simulator is asked for under strain.

A strain is the same for both simulators where both can do it: what is hard in a room only the
first has (missing beats, speech, rumble), what is hard in a watch only the second (`hard=True`).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from borrowed import Recorder as FileRecorder
from borrowed import Spec, alarm_clock, clock_out_of_beat, draw, record, together
from drawn import second_levels, second_take, second_truth
from trial import Take, Trial

from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, Recorder, SimulatedWatch

PER_HOUR = (14400.0, 18000.0, 19800.0, 21600.0, 25200.0, 28800.0, 36000.0)
RATES_HZ = (22050, 32000, 44100, 48000, 96000, 192000)
CODECS = {"Vorbis": "vorbis", "Opus": "opus", "MP3": "mp3"}
OTHER_SEED = 5000
"""The second of two watches is the one of a seed so much higher."""
SECOND_SNR_DB = 20.0
LONG_S, LONG_DRIFT_DEG = 300.0, 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """A recording, and who may have been heard in it: one watch, or either of two."""

    takes: tuple[Take, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Strain:
    """One way to make it hard for the first simulator's watch.

    `watch` : what the watch has otherwise; `file` : what is done to the file afterwards;
    `other_db` : how loud another watch goes beside it, of the same lift angle
    """

    name: str
    room: RoomNoise
    recorder: Recorder = field(default_factory=Recorder)
    jitter_us: float = 20.0
    duration_s: float = 30.0
    watch: Mapping[str, object] = field(default_factory=dict)
    file: FileRecorder | None = None
    other_db: float | None = None

    def sound(self, seed: int) -> Sound:
        """Return the recording of a watch drawn at random, under the strain."""
        take = trial_of(self, seed).take()
        if self.file is not None:
            loudest = float(np.max(np.abs(take.samples)))
            samples = record(take.samples.astype(np.float64), loudest, self.file)
            return Sound(takes=(replace(take, samples=samples),))
        if self.other_db is None:
            return Sound(takes=(take,))
        other = trial_of(self, seed + OTHER_SEED).take()
        both = take.samples + other.samples * np.float32(10 ** (self.other_db / 20))
        return Sound(takes=(replace(take, samples=both / 2), replace(other, samples=both / 2)))


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondStrain:
    """One way to make it hard for the second simulator's watch; `fields` as `draw` takes them."""

    name: str
    kind: str = "watch"
    hard: bool = False
    duration_s: float = 30.0
    fields: Mapping[str, object] = field(default_factory=dict)
    other_db: float | None = None

    def sound(self, seed: int) -> Sound:
        """Return the recording of a watch drawn at random, under the strain."""
        spec = self.spec(seed)
        if self.other_db is None:
            return Sound(takes=(second_take(spec.listen(self.duration_s)),))
        both = together(
            spec, self.spec(seed + OTHER_SEED), duration_s=self.duration_s, second_db=self.other_db
        )
        takes = (
            Take(
                samples=both.samples, rate_hz=both.rate_hz, beats_per_hour=truth.beats_per_hour,
                lift_deg=truth.lift_deg, clock_ppm=truth.clock_ppm, truth=second_truth(truth),
                levels=second_levels(truth),
            )
            for truth in (both.first, both.second)
        )  # fmt: skip
        return Sound(takes=tuple(takes))

    def spec(self, seed: int) -> Spec:
        """Return the watch, its room and its recorder."""
        fields = {"snr_db": SECOND_SNR_DB, **self.fields}
        if self.kind == "alarm clock":
            return alarm_clock(seed, **fields)
        if self.kind == "out of beat":
            return clock_out_of_beat(seed, **fields)
        return draw(seed, hard=self.hard, **fields)


BASE = RoomNoise(snr_db=20)
LOW = RoomNoise(snr_db=6)


def of_file(**fields: object) -> FileRecorder:
    """Return what is done to a file that the first simulator has made, its loudness kept."""
    return FileRecorder(**{"peak": 0.5, "bits": 16, **fields})


ALONE = (
    Strain(name="nothing", room=BASE),
    Strain(name="noise, 0 dB", room=RoomNoise(snr_db=0)),
    Strain(name="noise, -6 dB", room=RoomNoise(snr_db=-6)),
    Strain(name="noise, -12 dB", room=RoomNoise(snr_db=-12)),
    Strain(name="30 % missing", room=replace(BASE, missing_share=0.3)),
    Strain(name="50 % missing", room=replace(BASE, missing_share=0.5)),
    Strain(name="70 % missing", room=replace(BASE, missing_share=0.7)),
    Strain(name="60 knocks a minute", room=replace(BASE, knocks_per_minute=60)),
    Strain(name="60 loud knocks", room=replace(BASE, knocks_per_minute=60, knock=20)),
    Strain(name="300 knocks a minute", room=replace(BASE, knocks_per_minute=300)),
    Strain(name="hum, as loud", room=replace(BASE, hum=1.0)),
    Strain(name="hum, 10 times", room=replace(BASE, hum=10.0)),
    Strain(name="rumble, as loud", room=replace(BASE, rumble=1.0)),
    Strain(name="rumble, 10 times", room=replace(BASE, rumble=10.0)),
    Strain(name="speech, a third", room=replace(BASE, speech=0.3)),
    Strain(name="speech, as loud", room=replace(BASE, speech=1.0)),
    Strain(name="speech, 3 times", room=replace(BASE, speech=3.0)),
    Strain(name="clipped, gain 5", room=BASE, recorder=Recorder(gain=5)),
    Strain(name="clipped, gain 10", room=BASE, recorder=Recorder(gain=10)),
    Strain(name="clipped, gain 100", room=BASE, recorder=Recorder(gain=100)),
    Strain(name="very soft, gain 0.001", room=BASE, recorder=Recorder(gain=0.001)),
    Strain(name="echo 0.6", room=replace(BASE, echo=0.6)),
    Strain(name="jitter 0.2 ms", room=BASE, jitter_us=200),
    Strain(name="jitter 1 ms", room=BASE, jitter_us=1000),
    Strain(name="10 s only", room=BASE, duration_s=10),
    Strain(name="5 s only", room=BASE, duration_s=5),
    Strain(name="3 s only", room=BASE, duration_s=3),
    Strain(name="95 s", room=BASE, duration_s=95),
    Strain(
        name="5 minutes, amplitude drifts", room=BASE, duration_s=LONG_S,
        watch={"wheels": (DisturbingWheel(period_s=4 * LONG_S, amplitude_deg=LONG_DRIFT_DEG),),
               "amplitude_deg": 250.0},
    ),
    *(
        Strain(name=f"{rate / 1000:g} kHz", room=BASE, recorder=Recorder(rate_hz=rate))
        for rate in (16000, *RATES_HZ)
    ),
    *(Strain(name=name, room=BASE, file=of_file(codec=codec)) for name, codec in CODECS.items()),
    Strain(name="automatic level", room=BASE, file=of_file(level_control_db=12.0)),
    Strain(
        name="alarm clock", room=BASE,
        watch={"beats_per_hour": 12000.0, "amplitude_deg": 200.0, "lift_angle_deg": 65.0},
    ),
    Strain(
        name="clock 80 ms out of beat", room=BASE,
        watch={"beats_per_hour": 10800.0, "amplitude_deg": 200.0, "lift_angle_deg": 42.0,
               "beat_error_ms": 80.0},
    ),
    *(
        Strain(name=f"two watches, one {-db:g} dB fainter", room=BASE, other_db=db,
               watch={"lift_angle_deg": 52.0})
        for db in (-12.0, -6.0, -0.0)
    ),
)  # fmt: skip
"""For the first simulator."""


def combined(strains: Sequence[Strain]) -> Iterator[Strain]:
    """Yield rooms and recorders in which several things are hard at once."""
    rooms = {
        "missing + knocks": replace(BASE, missing_share=0.3, knocks_per_minute=60),
        "missing + knocks + hum + rumble": replace(
            BASE, missing_share=0.3, knocks_per_minute=60, hum=1, rumble=1
        ),
        "the same at 6 dB": replace(LOW, missing_share=0.3, knocks_per_minute=60, hum=1, rumble=1),
        "the same at 0 dB": replace(
            LOW, snr_db=0, missing_share=0.3, knocks_per_minute=60, hum=1, rumble=1
        ),
        "the same with speech": replace(
            LOW, missing_share=0.3, knocks_per_minute=60, hum=1, rumble=1, speech=0.5
        ),
    }
    for name, room in rooms.items():
        for rate_hz in (16000, 48000):
            for gain in (1, 10):
                recorder = Recorder(rate_hz=rate_hz, gain=gain)
                told = f"{name}, {rate_hz // 1000} kHz{', gain 10' if gain > 1 else ''}"
                yield Strain(name=told, room=room, recorder=recorder)
    for rate_hz in (96000, 192000):
        recorder = Recorder(rate_hz=rate_hz)
        room = rooms["the same at 6 dB"]
        yield Strain(name=f"the same at 6 dB, {rate_hz // 1000} kHz", room=room, recorder=recorder)
    some = {strain.name: strain for strain in strains}
    yield replace(some["jitter 0.2 ms"], name="jitter 0.2 ms at 0 dB", room=RoomNoise(snr_db=0))
    yield replace(some["5 s only"], name="5 s only at 6 dB, 30 % missing",
                  room=replace(LOW, missing_share=0.3))  # fmt: skip


FIRST = (*ALONE, *combined(ALONE))
SECOND = (
    SecondStrain(name="nothing"),
    *(
        SecondStrain(name=f"hard draw, {snr_db:g} dB", hard=True, fields={"snr_db": snr_db})
        for snr_db in (25.0, 15.0, 8.0, 0.0)
    ),
    SecondStrain(name="10 s only", duration_s=10),
    SecondStrain(name="5 s only", duration_s=5),
    SecondStrain(
        name="5 minutes, amplitude drifts", duration_s=LONG_S,
        fields={"amplitude_deg": 250.0, "drift_deg": -LONG_DRIFT_DEG * 30.0 / LONG_S},
    ),
    *(
        SecondStrain(name=f"{rate / 1000:g} kHz", fields={"rate_hz": rate, "codec": None})
        for rate in RATES_HZ
    ),
    *(
        SecondStrain(name=f"{name}, level {level:g}",
                     fields={"rate_hz": 48000, "codec": codec, "codec_level": level})
        for name, codec in CODECS.items()
        for level in (0.3, 0.7)
    ),
    SecondStrain(name="automatic level", fields={"level_control_db": 12.0}),
    SecondStrain(name="clipped, 4 times full scale", fields={"peak": 4.0}),
    SecondStrain(name="6 loud knocks", fields={"knocks": 6, "knock_db": 12.0}),
    SecondStrain(name="alarm clock", kind="alarm clock"),
    SecondStrain(name="clock 80 ms out of beat", kind="out of beat"),
    *(
        SecondStrain(name=f"two watches, one {-db:g} dB fainter", other_db=db,
                     fields={"lift_deg": 52.0})
        for db in (-12.0, -6.0, -0.0)
    ),
)  # fmt: skip
"""For the second simulator."""


def trial_of(strain: Strain, seed: int) -> Trial:
    """Return a watch drawn at random, under the strain."""
    random = np.random.default_rng([31415, seed])
    per_hour = float(random.choice(PER_HOUR))
    drawn = {
        "beats_per_hour": per_hour,
        "rate_s_per_day": float(random.uniform(-90, 90)),
        "amplitude_deg": float(random.uniform(170, 320)),
        "lift_angle_deg": float(random.uniform(46, 56)),
        "beat_error_ms": float(random.uniform(0, 3) * 18000 / max(per_hour, 18000)),
        "jitter_us": strain.jitter_us,
    }
    return Trial(
        watch=SimulatedWatch(**(drawn | strain.watch)), room=strain.room, recorder=strain.recorder,
        duration_s=strain.duration_s, seed=seed,
    )  # fmt: skip
