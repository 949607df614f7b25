"""A simulated watch, heard in a quiet room: its sound with the truth, and the reading of it."""

from sideshake.core.quantities import Measured
from sideshake.sound.listener import Listener
from sideshake.sound.simulate import RoomNoise, SimulatedWatch, simulate
from sideshake.timing.reading import read


def heard(watch: SimulatedWatch, seed: int, *, snr_db: float = 25):
    sound = simulate(watch, duration_s=10, room=RoomNoise(snr_db=snr_db), seed=seed)
    listener = Listener(sound.rate_hz)
    listener.feed(sound.samples)
    # said: all beats of this simulator are copies of one, as no watch's are
    return sound, read(listener.hear(), lift_angle_deg=Measured(52.0), said_watch=True)
