"""The template, drawn as the portrait: the average tick and tock, and where its noises begin.

The spread of the onsets over bootstrap averages (beats drawn anew with Poisson weights) is their
statistical uncertainty.
Shapes: rows are averages (all beats; bootstrap draws; groups in time).
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from sideshake.sound.began import SideBeats
from sideshake.sound.causal import causal_beats
from sideshake.sound.choices import Explanation
from sideshake.sound.event import SCALES_S, events_of
from sideshake.sound.explain import explained
from sideshake.sound.line import fit_line
from sideshake.sound.onset import DRAWS, NoiseOnset, early_s, noise_onset
from sideshake.sound.profile import (
    Powers,
    Profile,
    TurnedBeats,
    envelope_powers,
    side_profiles,
    turned,
)
from sideshake.sound.windows import Waves, Windows

Floats = NDArray[np.float64]

GROUP_S = 10.0
LEAST_BEATS = 4
LOUD_S = 1e-3
MOVED_SHARE, APART_SHARE, RISE_SHARE, LEAST_U_S = 1.0, 0.2, 0.4, 15e-6
FAR_APART_S, FAR_SHARE = 0.08e-3, 0.7
"""What each share of a noise's shape counts towards the uncertainty of its onset: how much later it
was put because its beats are smeared, how far powers and waves tell it apart (the more so where
that is much), how slowly it rises, and what is always left: fitted on the second simulator, once
(experiments/README.md)."""
SURELY_SIGMAS = 5.0
"""What stands so far above chance is noticed nine times in ten."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Onsets:
    """Where the noises of one side begin, against the arrival time (s), NaN where not found.

    Shape (rows,): first over all beats, then over `DRAWS` bootstrap draws, then over groups of
    beats in time of about 10 s. `unlock_u_s`, `drop_u_s` : standard uncertainty from the noise's
    own shape and from beats that could not be aligned; `beats` : how many the first row rests on.
    `own_s` : shape (2, rows), what of `unlock_s` and of `drop_s` is only which beats a row holds
    `alone_s` : where unlocking begins by powers alone, the only way if not `by_wave`
    `middle_late_s`, `unlock_late_s` : shape (beats,), how much later than the mean of its side the
    middle of the two, and unlocking, comes against each beat's arrival
    """

    unlock_s: Floats
    drop_s: Floats
    unlock_u_s: float
    drop_u_s: float
    middle_late_s: Floats
    unlock_late_s: Floats
    beats: int
    own_s: Floats = field(default_factory=lambda: np.zeros((2, 1)))
    alone_s: Floats = field(default_factory=lambda: np.full(1, np.nan))
    by_wave: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """The average sound of one side over one page.

    `power` : shape (k,), its loudness (mean squared envelope) above the background, which is 1
    `noise` : what chance leaves of the background
    `start_s` : its first value against the arrival time; `step_s` : seconds between values
    `clearness_db` : the loudest millisecond above the background of a single beat
    """

    power: NDArray[np.float32]
    noise: float
    start_s: float
    step_s: float
    clearness_db: float
    onsets: Onsets


@dataclass(frozen=True, slots=True, kw_only=True)
class Templates:
    """Both sides' portraits, None for a side hardly heard, and what their noises may be."""

    sides: tuple[Template | None, Template | None]
    explanation: Explanation | None


@dataclass(frozen=True, slots=True)
class AlignedTicks:
    """Windows that hold the whole tick, with silence on both sides.

    `shift`, `heard` : shape (beats,), when each beat comes (samples) and whether it counts
    `moment` : shape (2,), how much later (samples) than that the moment meant by the arrival is
    """

    windows: Windows
    shift: Floats
    heard: NDArray[np.bool_]
    moment: Floats

    def rows(self, side: int) -> NDArray[np.intp]:
        """Return the numbers of a side's windows that count."""
        return np.flatnonzero(self.heard & (self.windows.side == side))


def make_templates(ticks: AlignedTicks, *, beat_s: float, seed: int) -> Templates:
    """Return the portraits of side 0 and side 1, and what their noises may be."""
    windows, rows = ticks.windows, [ticks.rows(one) for one in (0, 1)]
    powers = envelope_powers(windows.spectra, windows)
    beats = [turned(windows, powers, ticks.shift, some) for some in rows]
    profiles = [side_profiles(windows, powers, each) for each in beats]
    enough = [some.size >= LEAST_BEATS for some in rows]
    explanation = explain_sides(profiles, beat_s) if all(enough) else None
    edges = group_edges(windows.start[ticks.heard] / windows.span.rate_hz)
    along = np.stack([windows.start / windows.span.rate_hz, uneven_s(ticks)])
    drawn: list[Template | None] = [None, None]
    for one in (0, 1):
        if enough[one]:
            own = along[:, rows[one]]
            weights = row_weights(own[0], edges, seed + one)
            side = turned_side(windows, powers, beats[one], own, weights)
            later = moment_s(ticks, one)
            onsets = onsets_of(side, named(explanation, one), later)
            drawn[one] = template_of(profiles[one][0], onsets, later)
    return Templates(sides=(drawn[0], drawn[1]), explanation=explanation)


def uneven_s(ticks: AlignedTicks) -> Floats:
    """Return how much later (s) than the even beat each beat arrives; 0 where none is heard."""
    windows, some = ticks.windows, ticks.heard
    late_s = np.zeros(some.size)
    if np.count_nonzero(some) >= LEAST_BEATS:
        number, side = windows.number[some].astype(np.float64), windows.side[some]
        at_s = (windows.start + ticks.shift)[some] / windows.span.rate_hz
        late_s[some] = at_s - fit_line(number, side, at_s).at(number, side)
    return late_s


def explain_sides(profiles: list[list[Profile]], beat_s: float) -> Explanation:
    """Return what the noises of both sides may be."""
    events = [events_of(side) for side in profiles]
    limits = (deepest(profiles[0]), deepest(profiles[1]))
    return explained(events[0], events[1], beat_s=beat_s, deepest=limits)


def deepest(profiles: list[Profile]) -> float:
    """Return the faintest level at which a noise of a millisecond is still noticed."""
    powers = profiles[0]
    cells = SCALES_S[-1] / powers.cell_s
    return powers.floor * powers.spread * SURELY_SIGMAS / float(np.sqrt(cells))


def named(explanation: Explanation | None, side: int) -> tuple[float, float] | None:
    """Return where unlocking and drop of a side seem to begin (s), by the first choice."""
    if explanation is None or not explanation.choices:
        return None
    choice, events = explanation.choices[0], explanation.events[side]
    naming = (choice.tick, choice.tock)[side]
    return events[naming.unlock].at_s, events[naming.drop].at_s


def moment_s(ticks: AlignedTicks, side: int) -> float:
    """Return how much later (s) the moment meant is than the common arrival of the turned beats."""
    shift = ticks.shift[ticks.rows(side)]
    rest = float(np.mean(shift - np.rint(shift)))
    return (float(ticks.moment[side]) + rest) / ticks.windows.span.rate_hz


def turned_side(
    windows: Windows, powers: Powers, beats: TurnedBeats, along: Floats, weights: Waves
) -> SideBeats:
    """Return the turned beats of a side, with when they come, how late, and their weights."""
    counts = np.maximum(weights.sum(axis=1), 1)
    causal = causal_beats(beats.waves, windows)
    finer = causal.rate_hz / windows.span.rate_hz
    return SideBeats(
        waves=causal.waves,
        powers=beats.cells,
        step=powers.step * finer,
        offset=np.asarray((beats.cells_late * powers.step - beats.late) * finer, np.float64),
        lead=windows.span.lead * finer,
        along=along,
        share=weights / counts[:, None],
        counts=counts,
        noise=windows.noise_power,
        rate_hz=causal.rate_hz,
    )


def onsets_of(side: SideBeats, near_s: tuple[float, float] | None, later_s: float) -> Onsets:
    """Return where unlocking and drop of a side begin, by the moment meant."""
    unlock = noise_onset(side, near_s[0]) if near_s else None
    drop = noise_onset(side, near_s[1]) if near_s and unlock else None
    count = side.along.shape[1]
    if unlock is None or drop is None:
        nothing, even = np.full(side.counts.size, np.nan), np.zeros(count)
        return Onsets(
            unlock_s=nothing, drop_s=nothing, unlock_u_s=0.0, drop_u_s=0.0, middle_late_s=even,
            unlock_late_s=even, beats=count,
        )  # fmt: skip
    return Onsets(
        unlock_s=unlock.at_s - later_s,
        drop_s=drop.at_s - later_s,
        unlock_u_s=shape_u_s(unlock),
        drop_u_s=shape_u_s(drop),
        middle_late_s=(unlock.late_s + drop.late_s) / 2,
        unlock_late_s=unlock.late_s,
        beats=count,
        own_s=np.stack([unlock.own_s, drop.own_s]),
        alone_s=unlock.alone_s - later_s,
        by_wave=unlock.by_wave,
    )


def shape_u_s(onset: NoiseOnset) -> float:
    """Return the standard uncertainty of one onset from its shape."""
    parts = (
        MOVED_SHARE * early_s(onset.smear_s),
        (APART_SHARE if onset.apart_s < FAR_APART_S else FAR_SHARE) * onset.apart_s,
        RISE_SHARE * onset.rise_s,
        LEAST_U_S,
    )
    return float(np.sqrt(np.sum(np.square(parts))))


def template_of(profile: Profile, onsets: Onsets, later_s: float) -> Template:
    """Return the portrait whose power is a profile's."""
    above = profile.power / profile.floor - 1
    return Template(
        power=np.maximum(above, 0).astype(np.float32),
        noise=profile.spread,
        start_s=profile.start_s - later_s,
        step_s=profile.cell_s,
        clearness_db=clearness_db(above, profile.cell_s),
        onsets=onsets,
    )


def clearness_db(above: Floats, cell_s: float) -> float:
    """Return how far the loudest millisecond stands above the background (dB, in our band)."""
    width = max(1, round(LOUD_S / cell_s))
    sums = np.concatenate([[0.0], np.cumsum(above)])
    loudest = np.max(sums[width:] - sums[:-width]) / width
    return float(10 * np.log10(max(float(loudest), 1e-12)))


def group_edges(times_s: Floats) -> Floats:
    """Return the edges between groups of some 10 s, the same for both sides."""
    groups = max(1, round(float(np.ptp(times_s)) / GROUP_S))
    return np.linspace(times_s[0], times_s[-1] + 1e-9, groups + 1)


def row_weights(times_s: Floats, edges: Floats, seed: int) -> Waves:
    """Return the weight of each beat in each average: all, bootstrap draws, groups in time."""
    drawn = np.random.default_rng(seed).poisson(1.0, (DRAWS, times_s.size))
    groups = edges.size - 1
    member = np.clip(np.searchsorted(edges, times_s, side="right") - 1, 0, groups - 1)
    in_group = member == np.arange(groups)[:, None]
    return np.concatenate([np.ones((1, times_s.size)), drawn, in_group]).astype(np.float32)
