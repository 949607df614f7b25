"""What is true of a simulated recording, by the balance and by the trade's own conventions."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

SECONDS_PER_DAY = 86400.0

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Truth:
    """The beats whose unlocking and drop lie in the recording, and what they amount to.

    side : 0 where the tooth leaves the entry pallet, 1 the exit pallet; shape (beats,)
    swing_deg_by_beat : true amplitude of the balance of each beat
    centre_s : when the balance passes the line of centres
    unlocking_s, impulse_s, drop_s, banking_s : onset of each impact, in true seconds after the
        first sample (see `file_s`); banking is NaN where there is none
    unlocking_db, impulse_db : level of (entry, exit) against the same side's drop: mean energies
        of the loudest millisecond in 1 to 20 kHz, before echoes
    snr_db : mean power of the drops' loudest millisecond in 1 to 20 kHz (or to 0.45 of the rate;
        watch alone, each drop alone, before echoes and before the recorder) over the mean power
        of noise and hum in that band; infinite without noise
    clock_ppm : how much faster than its file says the recorder samples
    """

    beats_per_hour: float
    lift_deg: float
    side: NDArray[np.int64]
    swing_deg_by_beat: Floats
    centre_s: Floats
    unlocking_s: Floats
    impulse_s: Floats
    drop_s: Floats
    banking_s: Floats
    unlocking_db: tuple[float, float]
    impulse_db: tuple[float, float]
    snr_db: float
    clock_ppm: float

    @property
    def swing_deg(self) -> float:
        """Return the balance's true mean amplitude."""
        return float(np.mean(self.swing_deg_by_beat))

    @cached_property
    def rate_s_per_day(self) -> float:
        """Return the balance's rate: slope of the passages of the line of centres (`rate_of`)."""
        return self.rate_of(self.centre_s)

    @cached_property
    def rate_at_unlocking_s_per_day(self) -> float:
        """Return the rate by the unlocking impacts instead of the passages."""
        return self.rate_of(self.unlocking_s)

    @property
    def rate_in_file_s_per_day(self) -> float:
        """Return `rate_at_unlocking_s_per_day` as the file's clock, if believed, has it."""
        return self.rate_of(self.file_s(self.unlocking_s))

    def rate_of(self, times_s: Floats) -> float:
        """Return s/day gained: least-squares slope over the beats, each side with its own start.

        References
        ----------
        trade-facts 3.2.10: r = 86400 (nominal - actual) / actual
        """
        number = np.arange(len(times_s), dtype=float)
        columns = np.stack([number, self.side == 0, self.side == 1], axis=1)
        beat_s = float(np.linalg.lstsq(columns, times_s, rcond=None)[0][0])
        return SECONDS_PER_DAY * (3600.0 / self.beats_per_hour - beat_s) / beat_s

    @cached_property
    def lift_time_s(self) -> float:
        """Return the mean time from unlocking to drop, entry and exit counted equally."""
        took_s = self.drop_s - self.unlocking_s
        return float(np.mean([took_s[self.side == side].mean() for side in (0, 1)]))

    @property
    def trade_amplitude_deg(self) -> float:
        """Return the amplitude by the trade's formula, A = lift / (2 sin(pi t / (2 beat))).

        References
        ----------
        trade-facts 3.1.6, 3.2.1: lift is from the first noise to the third
        """
        return amplitude_deg(self.lift_deg, self.own_beats_per_hour, self.lift_time_s)

    @property
    def own_beats_per_hour(self) -> float:
        """Return how often it beats, not how often it should: at 600 s a day they are 0.7 % off."""
        return self.beats_per_hour * (1 + self.rate_s_per_day / SECONDS_PER_DAY)

    @property
    def apparent_lift_deg(self) -> float:
        """Return the lift with which the trade's formula would give `swing_deg`: flight included.

        It is what one finds who sets the lift until the instrument agrees with the eye
        (trade-facts 3.5.3), here at this recording's own swing.
        """
        half_phase = np.pi * self.lift_time_s * self.own_beats_per_hour / 7200.0
        return float(2.0 * self.swing_deg * np.sin(half_phase))

    @property
    def beat_error_ms(self) -> float:
        """Return half the difference of the mean alternate intervals between unlockings."""
        return half_difference_ms(self.unlocking_s, self.side)

    @property
    def beat_error_at_centre_ms(self) -> float:
        """Return the same at the passages of the line of centres."""
        return half_difference_ms(self.centre_s, self.side)

    def file_s(self, times_s: Floats) -> Floats:
        """Return true times as the file's own seconds (samples / rate of the file)."""
        return np.asarray(times_s * (1.0 + 1e-6 * self.clock_ppm))


def amplitude_deg(lift_deg: float, beats_per_hour: float, lift_time_s: float) -> float:
    """Return the trade's amplitude (trade-facts 3.2.1).

    Examples
    --------
    >>> f"{amplitude_deg(52, 18000, 0.012):.2f}"
    '276.28'
    """
    return float(lift_deg / (2.0 * np.sin(np.pi * lift_time_s * beats_per_hour / 7200.0)))


def half_difference_ms(times_s: Floats, side: NDArray[np.int64]) -> float:
    """Return half the difference of the intervals that begin on either side (3.2.6), unsigned."""
    interval_s = np.diff(times_s)
    begins = side[:-1]
    return float(abs(interval_s[begins == 0].mean() - interval_s[begins == 1].mean()) / 2 * 1e3)
