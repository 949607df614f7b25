"""What a simulated watch, its sound, its room and its recorder are: plain values, no arithmetic.

Pairs are (entry pallet, exit pallet) unless said otherwise; beats alternate between the two.
Angles named `wheel` are of the escape wheel, all others of the balance.
"""

from dataclasses import dataclass
from typing import Literal

Pair = tuple[float, float]
Attack = Literal["contact", "gamma", "step"]
Colour = Literal["white", "room", "hiss", "hump"]
Codec = Literal["vorbis", "opus", "mp3"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Escapement:
    """A balance and the lever escapement that it works.

    beats_per_hour, rate_s_per_day : the train, and how much the balance gains at its mean swing
    amplitude_deg : mean swing, rest to turning point
    waver_deg, waver_beats : standard deviation and length of memory (AR(1)) of the swing
    drift_deg : how much the swing grows in 30 s; turn_deg : its change once per turn of the wheel
    lift_deg : balance angle from the pin's meeting the notch to the tooth's leaving, mean of sides
    lift_inequality : share by which the entry side's lift is above the mean (the exit's below)
    before_share : share of the lift that lies before the line of centres
    run_deg : how much earlier than that the pin meets the notch (lever away from its rest)
    out_of_beat_deg : from the balance's rest point to the line of centres
    drop_wheel_deg : free turn of the wheel from one pallet to the other
    wheel_acceleration : degrees/s^2 of the free escape wheel (torque over inertia)
    torque_waver : relative standard deviation of that from beat to beat
    leaving_share : speed at which the tooth leaves, as a share of the face's own speed
    lock_share : share of the lift that unlocking takes; recoil_wheel_deg : recoil in it
    tooth_wheel_deg : standard deviation of the places of the 15 teeth
    wear_deg : standard deviation of the release angle over the 30 pairs of tooth and pallet
    banking_ms : from the drop to the lever's stop; banking_missing : share of beats without it
    quality : quality factor of the balance; impulse_after_deg : mean place of the impulse (Airy)
    wander : random walk of the rate, s/day per root hour; flicker_s_per_day : slow noise of it
    period_jitter_us : white noise of each half swing's length (adds up)
    unlocking_jitter_us : white noise of each unlocking's time (does not add up)
    """

    beats_per_hour: float = 18000.0
    rate_s_per_day: float = 0.0
    amplitude_deg: float = 270.0
    waver_deg: float = 1.0
    waver_beats: float = 15.0
    drift_deg: float = 0.0
    turn_deg: float = 0.0
    lift_deg: float = 52.0
    lift_inequality: float = 0.0
    before_share: float = 0.5
    run_deg: float = 0.0
    out_of_beat_deg: float = 0.0
    drop_wheel_deg: Pair = (1.5, 1.2)
    wheel_acceleration: float = 1.0e6
    torque_waver: float = 0.08
    leaving_share: float = 0.8
    lock_share: float = 0.17
    recoil_wheel_deg: float = 0.3
    tooth_wheel_deg: float = 0.0
    wear_deg: float = 0.0
    banking_ms: Pair = (0.7, 0.9)
    banking_missing: float = 0.0
    quality: float = 200.0
    impulse_after_deg: float = 5.0
    wander: float = 0.0
    flicker_s_per_day: float = 0.0
    period_jitter_us: float = 0.0
    unlocking_jitter_us: float = 10.0

    def __post_init__(self) -> None:
        farthest = abs(self.out_of_beat_deg) + self.run_deg + 0.5 * self.lift_deg * 1.2
        if not 0 < farthest < 0.97 * self.amplitude_deg:
            raise ValueError(
                f"a swing of {self.amplitude_deg} deg does not work the lever of a lift of "
                f"{self.lift_deg} deg that is {self.out_of_beat_deg} deg out of beat"
            )

    @property
    def beat_s(self) -> float:
        """Return the nominal time from passage to passage."""
        return 3600.0 / self.beats_per_hour


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """How the impacts sound where they are heard.

    *_db : mean energy of each impact's loudest millisecond in 1 to 20 kHz, against the entry drop
    lowest_hz, highest_hz, modes, decay_ms : resonances, and how many each impact excites
    attack : half-sine force of `attack_us`, rise like an integrated gamma density of that length,
        or a step
    new_share : share of the energy that is new noise each time (unlocking, impulse, drop, banking)
    strength_db : scatter of the strength from beat to beat; tooth_db : over the 30 pairs
    double_share, double_ms, double_db : drops that fall twice
    chatter : further impacts of the lever after the drop
    """

    unlocking_db: Pair = (-14.0, -15.0)
    impulse_db: Pair = (-9.0, -8.0)
    drop_db: Pair = (0.0, -1.5)
    banking_db: Pair | None = (-8.0, -7.0)
    lowest_hz: float = 2500.0
    highest_hz: float = 14000.0
    modes: tuple[int, int] = (2, 5)
    decay_ms: Pair = (0.15, 0.8)
    attack: Attack = "contact"
    attack_us: Pair = (15.0, 70.0)
    new_share: tuple[float, float, float, float] = (0.15, 0.35, 0.25, 0.4)
    strength_db: float = 1.0
    tooth_db: float = 0.3
    double_share: float = 0.0
    double_ms: float = 0.3
    double_db: float = -3.0
    chatter: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What is between watch and recorder, and what else is to be heard.

    snr_db : mean power of the drops' loudest millisecond (watch alone, no echoes) over the mean
        power of noise and hum, both in 1 to 20 kHz; None is silence
    colour : white; room (grows towards the bass); hiss (grows with frequency); hump (a band)
    breathing_db : slow change of the noise's level; hum_hz, hum_db : mains hum and its power over
        the noise's (below 1 kHz mostly)
    echoes, echo_ms, echo_db : how many, when, how loud the first ones are (random sign)
    resonances : of case and microphone; knocks : handling in the whole recording, knock_db each
        over the loudest drop's peak
    """

    snr_db: float | None = 40.0
    colour: Colour = "white"
    breathing_db: float = 0.0
    hum_hz: float | None = None
    hum_db: float = 10.0
    echoes: int = 0
    echo_ms: Pair = (0.5, 10.0)
    echo_db: float = -14.0
    resonances: int = 1
    knocks: int = 0
    knock_db: float = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorder:
    """What is done to the sound on its way into the file.

    rate_hz : as the file says; clock_ppm : how much faster it really samples
    peak : largest value before clipping, knocks left out, in full scales; above 1 it clips
    bits : None for floating point
    level_control_db : how far an automatic level control may turn; 0 is off
    attack_ms, release_ms : its times; codec, codec_level : lossy round trip (0 best, 1 smallest)
    """

    rate_hz: int = 48000
    clock_ppm: float = 0.0
    peak: float = 0.5
    bits: int | None = 16
    level_control_db: float = 0.0
    attack_ms: float = 10.0
    release_ms: float = 800.0
    codec: Codec | None = None
    codec_level: float = 0.4

    @property
    def true_rate_hz(self) -> float:
        """Return the samples per true second."""
        return self.rate_hz * (1.0 + 1e-6 * self.clock_ppm)
