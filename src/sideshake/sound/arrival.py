"""When each beat arrives, to a fraction of a sample.

Each window is compared with the average of all other beats of its side: a matched filter, the best
there is for a known pulse in Gaussian noise (Kay, Fundamentals of Statistical Signal Processing:
Estimation Theory, 1993, par. 3.11 and 7.4). The average is not known beforehand, so it grows: first
a line through the loudness, then waveforms aligned to it, then round by round to each other.
Shifts are in samples, against the moment the window was cut for.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.core.errors import NotEnough
from sideshake.sound.average import Averages, average_waves, gated, sharpest_stretch, turned_back
from sideshake.sound.line import fit_line
from sideshake.sound.loudness import (
    WindowLoudness,
    average_loudness,
    cell_width,
    line_through_loudness,
    line_through_waves,
    loudness_of,
    shifts_by_loudness,
    where_loud,
)
from sideshake.sound.peak import peak_near
from sideshake.sound.windows import Spectra, Waves, Windows, cropped

Floats = NDArray[np.float64]

FAINT = 3.0
"""Below so many times the noise in the averages, the costly search for a line is made."""
WAVY_S = 30e-6
"""A slow wave of the beats' own shifts larger than this asks for more guesses."""
ROUNDS = 6
SETTLED = 0.05
UNSETTLED_SHARE = 0.02
"""The rounds end when at most 2 % of the beats still move by more than 0.05 samples."""
FIRST_REACH_S = 0.4e-3
LEAST_REACH_S = 80e-6
MOST_REACH_S = 2.5e-3
REACH_SIGMAS = 5.0
"""How far a beat is looked for: first, and then as its fellows scatter, within these bounds."""
NEIGHBOURS = 9
HEARD_SIGMAS, SURE_SIGMAS = 4.5, 9.0
HEARD_SHARE = 0.2
"""A beat weaker than this share of the usual one is taken as not heard: experiments/arrival.py."""
LOUD_SHARE = 0.35
LOUD_COUNT, MORE_HEARD = 0.9, 1.5
COHERENT = 0.4
LOUD_GAIN = 0.7
"""Loudness is taken when it scatters this much less than the waveform: experiments/arrival.py."""
ONSET_AFTER_S = 5e-3
"""A window must hold its onset: what is loudest within this of its beginning is a tail."""
EDGE_SHARE = 1e-3
"""Interpolation leaves less than this share of the whitening factor at the band's edges."""
ALIKE_SIDES = 0.8
"""Tick and tock less alike than this are not held against each other."""
FAINT_SHARE = 1e-3
"""A beat with less signal than this share of its noise says nothing of likeness."""
LEAST_FOR_LINE = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrivals:
    """What the windows of one page say; shape (beats,) each.

    `shift` : samples from the expected moment; `strength` : 1 for a beat as strong as the average;
    `heard` : whether it counts; `by_waveform` : whether the waveforms were matched, else loudness;
    `coherence` : share of a beat's energy that the average explains.
    `templates` : spectra of the average beat of side 0 and 1, not whitened; `profiles` : their
    average loudness, in cells, with the moment meant `profile_lead` samples from the first.
    `moment` : how much later (samples) the moment meant is than the one `shift` tells, a side each.
    """

    shift: Floats
    strength: Floats
    heard: NDArray[np.bool_]
    by_waveform: bool
    coherence: float
    templates: Spectra
    profiles: Waves
    profile_lead: int
    moment: Floats

    def late(self, side: NDArray[np.int8]) -> Floats:
        """Return the samples from each beat's expected moment to the moment that is meant."""
        return np.asarray(self.shift + self.moment[side])


@dataclass(frozen=True, slots=True)
class Match:
    """Each beat's best match with a template: shift, strength, and sigmas above the background."""

    shift: Floats
    strength: Floats
    sigmas: Floats

    @property
    def heard(self) -> NDArray[np.bool_]:
        """Return which beats are there."""
        return (self.sigmas > HEARD_SIGMAS) & (self.strength > HEARD_SHARE)


def find_arrivals(windows: Windows) -> tuple[Windows, Arrivals]:
    """Return when each beat arrives, and the windows cut down to where the tick is.

    Beats whose waveform repeats are timed by it; where it does not (some escapements, and sound
    that a codec has been through) their loudness is the sharper mark and is taken instead.
    """
    loudness = loudness_of(windows)
    own, fit = shifts_by_loudness(windows, loudness)
    line = line_through_loudness(windows, loudness)
    lead = windows.span.lead
    windows = cropped(windows, *where_loud(windows, loudness, own))
    expected, templates = first_alignment(windows, line, own)
    reach = FIRST_REACH_S * windows.span.rate_hz
    match = in_rounds(windows, expected, templates, reach)
    shift, strength, heard = match.shift, match.strength, match.heard
    averages = average_waves(windows, shift, heard)
    alike = coherence(windows, averages, heard)
    loud = sounds_clearer(windows, match, own, fit, alike=alike)
    if loud:
        refuse_tails(windows, loudness, own)
        shift, strength, heard = own, fit, fit > LOUD_SHARE
        averages = average_waves(windows, shift, heard)
    return windows, Arrivals(
        shift=shift,
        strength=strength,
        heard=heard,
        by_waveform=not loud,
        coherence=alike,
        templates=unwhitened(averages, windows),
        profiles=average_loudness(windows, loudness, shift, heard).whole,
        profile_lead=lead,
        moment=np.zeros(2),
    )


def unwhitened(averages: Averages, windows: Windows) -> Spectra:
    """Return the spectra of the average beats as they were before the background was made white."""
    inside = windows.white > EDGE_SHARE * windows.white.max()
    safe = np.where(inside, windows.white, np.inf)
    return np.asarray(fft.rfft(averages.whole, axis=1) / safe)


def refuse_tails(windows: Windows, loudness: WindowLoudness, own: Floats) -> None:
    """Raise NotEnough if a side is loudest where its windows begin.

    Then there is no onset in them, only the tail of something that dies away slowly, and tails look
    much the same wherever they begin.
    """
    everyone = np.ones(own.size, np.bool_)
    loudest = average_loudness(windows, loudness, own, everyone).whole.argmax(axis=1)
    there = [np.any(windows.side == one) for one in (0, 1)]
    if np.min(loudest[there]) * loudness.width < ONSET_AFTER_S * windows.span.rate_hz:
        raise NotEnough("what repeats here dies away too slowly to be a watch")


def sounds_clearer(
    windows: Windows, match: Match, own: Floats, fit: Floats, *, alike: float
) -> bool:
    """Return whether loudness tells the arrivals better than the waveforms do."""
    plain, heard = fit > LOUD_SHARE, match.heard
    if np.count_nonzero(plain) > MORE_HEARD * np.count_nonzero(heard):
        return True
    if alike >= COHERENT or np.count_nonzero(plain) < LOUD_COUNT * np.count_nonzero(heard):
        return False
    return scatter_of(windows, own, plain) < LOUD_GAIN * scatter_of(windows, match.shift, heard)


def coherence(windows: Windows, averages: Averages, heard: NDArray[np.bool_]) -> float:
    """Return the share of the usual beat's energy, less noise, that the average explains."""
    if not heard.any():
        return 0.0
    aligned = averages.aligned
    shared = np.einsum("ij,ij->i", aligned, averages.others)[heard]
    own = np.einsum("ij,ij->i", aligned, aligned)[heard]
    others = np.einsum("ij,ij->i", averages.others, averages.others)[heard]
    noise = windows.noise_power * windows.span.length
    signal, usual = own - noise, others - 2 * noise / heard.sum()
    clear = (signal > FAINT_SHARE * noise) & (usual > 0)
    if 2 * np.count_nonzero(clear) < clear.size:
        return 0.0
    explained = shared[clear] * np.abs(shared[clear]) / (signal[clear] * usual[clear])
    return float(np.clip(np.median(explained), 0.0, 1.0))


def scatter_of(windows: Windows, shift: Floats, heard: NDArray[np.bool_]) -> float:
    """Return the robust scatter (samples) of the heard beats about an even beat, or infinity."""
    if np.count_nonzero(heard) < LEAST_FOR_LINE:
        return np.inf
    index = windows.number[heard].astype(np.float64)
    return fit_line(index, windows.side[heard], shift[heard]).sigma


def follow(windows: Windows, known: Arrivals) -> Arrivals:
    """Return when each beat arrives, found with the average beats already known.

    The windows must be of the span those came from, and cut where the beats are expected.
    """
    templates = fft.irfft(known.templates * windows.white, windows.span.size, axis=1)
    nowhere = np.zeros(windows.number.size)
    reach = MOST_REACH_S * windows.span.rate_hz
    match = in_rounds(windows, nowhere, templates[windows.side].astype(np.float32), reach)
    averages = average_waves(windows, match.shift, match.heard)
    return replace(
        known,
        shift=match.shift,
        strength=match.strength,
        heard=match.heard,
        coherence=coherence(windows, averages, match.heard),
        templates=unwhitened(averages, windows),
    )


def in_rounds(windows: Windows, expected: Floats, templates: Waves, reach: float) -> Match:
    """Return the matches after rounds of matching and averaging.

    From round to round a beat that is surely heard stays near where it was; of the others, the
    neighbours say where to look.
    """
    before = np.full(expected.size, np.inf)
    for _ in range(ROUNDS):
        match = matched(windows, templates, expected, reach)
        moving = np.abs(match.shift - before) > SETTLED
        if np.count_nonzero(moving) < UNSETTLED_SHARE * moving.size:
            break
        expected = match.shift
        if match.sigmas.min() < SURE_SIGMAS:
            among = neighbourly(windows, match.shift, match.heard)
            expected = np.where(match.sigmas > SURE_SIGMAS, match.shift, among)
        reach = close_reach(windows, scatter_of(windows, match.shift, match.heard))
        templates = gated(average_waves(windows, match.shift, match.heard), windows, match.heard)
        before = match.shift
    return match


def close_reach(windows: Windows, scatter: float) -> float:
    """Return how far (samples) from the expected moment the next round may look."""
    rate_hz = windows.span.rate_hz
    return float(np.clip(REACH_SIGMAS * scatter, LEAST_REACH_S * rate_hz, MOST_REACH_S * rate_hz))


def first_alignment(windows: Windows, line: Floats, own: Floats) -> tuple[Floats, Waves]:
    """Return the expected shifts and the average beat, from loudness alone.

    Guesses are averaged and the one that leaves the most energy wins: a straight line (best in
    noise), the beats' own shifts (for an uneven watch heard well), their running median, and what
    a sharp average over a short stretch finds (for a watch that a wheel makes early and late).
    """
    everyone = np.ones(windows.number.size, np.bool_)
    guesses, smooth = [line, own], neighbourly(windows, own, everyone)
    index = windows.number.astype(np.float64)
    straight = fit_line(index, windows.side, own).at(index, windows.side)
    if np.std(smooth - straight) > WAVY_S * windows.span.rate_hz:
        guesses += [smooth, from_a_stretch(windows, own, smooth)]
    energies = [energy(windows, guess) for guess in guesses]
    noise = 4 * windows.noise_power * windows.span.length / windows.number.size
    if max(energies) < FAINT * noise:
        guesses.append(line_through_waves(windows, line))
        energies.append(energy(windows, guesses[-1]))
    best = guesses[int(np.argmax(energies))]
    return best, gated(average_waves(windows, best, everyone), windows, everyone)


def from_a_stretch(windows: Windows, own: Floats, smooth: Floats) -> Floats:
    """Return the shifts found with the average of the stretch of beats that averages best."""
    index = windows.number.astype(np.float64)
    best = sharpest_stretch(windows.waves, index, windows.side, own)
    if best is None:
        return smooth
    reach = FIRST_REACH_S * windows.span.rate_hz
    return matched(windows, best[windows.side], smooth, reach).shift


def energy(windows: Windows, shift: Floats) -> float:
    """Return the energy of the average beats of both sides, aligned by `shift`."""
    aligned = turned_back(windows.waves, np.rint(shift).astype(np.intp))
    sums = (windows.side == np.array([[0], [1]])).astype(np.float32) @ aligned
    return float(np.vdot(sums, sums)) * 4 / windows.number.size**2


def matched(windows: Windows, templates: Waves, expected: Floats, reach: float) -> Match:
    """Return the best match of each beat within `reach` (samples) of `expected`."""
    spectra = fft.rfft(templates, axis=1)
    np.conj(spectra, out=spectra)
    spectra *= windows.spectra
    likeness = fft.irfft(spectra, windows.span.size, axis=1, overwrite_x=True)
    shift, peak = peak_near(likeness, expected, int(np.ceil(reach)) + 1)
    energies = np.einsum("ij,ij->i", templates, templates).astype(np.float64) + 1e-9
    return Match(shift, peak / energies, peak / np.sqrt(energies))


def neighbourly(windows: Windows, shift: Floats, heard: NDArray[np.bool_]) -> Floats:
    """Return the shift that its side's neighbours let expect of each beat: line, running median."""
    index = windows.number.astype(np.float64)
    if np.count_nonzero(heard) < LEAST_FOR_LINE:
        return np.zeros(shift.size)
    line = fit_line(index[heard], windows.side[heard], shift[heard])
    start = np.where(np.isfinite(line.start), line.start, np.nanmean(line.start))
    expected = start[windows.side] + line.beat * index
    for side in (0, 1):
        some = heard & (windows.side == side)
        if np.count_nonzero(some) > NEIGHBOURS:
            rest = np.pad((shift - expected)[some], NEIGHBOURS // 2, mode="reflect")
            view = np.lib.stride_tricks.sliding_window_view(rest, NEIGHBOURS)
            here = windows.side == side
            expected[here] += np.interp(index[here], index[some], np.median(view, axis=1))
    return expected


def loud_offset_s(arrivals: Arrivals, rate_hz: int) -> float | None:
    """Return how much later (s) after its moment tock is loud than tick after its own.

    None where the two do not sound alike enough to say.
    """
    tick, tock = arrivals.profiles
    size = int(fft.next_fast_len(2 * tick.size, real=True))
    likeness = fft.irfft(np.conj(fft.rfft(tick, size)) * fft.rfft(tock, size), size)
    best = int(np.argmax(likeness))
    energy = float(np.sqrt(np.vdot(tick, tick) * np.vdot(tock, tock)))
    if energy == 0 or likeness[best] < ALIKE_SIDES * energy:
        return None
    lag = best - size if best > size // 2 else best
    moment = float(arrivals.moment[1] - arrivals.moment[0]) / rate_hz
    return lag * cell_width(rate_hz) / rate_hz - moment
