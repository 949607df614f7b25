"""One segment of sound, a page of half a minute: its tempo, its beats, its portraits.

A first page is heard by itself. A later one follows the beats already known if they simply go on;
else it is heard by itself too, and what went before (a `Lock`) only says which beat number comes
next and which moment of the tick is meant by its arrival.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import fft

from sideshake.core.errors import NotEnough
from sideshake.sound.arrival import Arrivals, find_arrivals, follow, loud_offset_s
from sideshake.sound.band import frame_length, frame_powers, prominence
from sideshake.sound.beats import Beats
from sideshake.sound.jump import without_jump
from sideshake.sound.likeness import Likeness, page_likeness
from sideshake.sound.line import BeatLine, fit_line
from sideshake.sound.loudness import cell_width
from sideshake.sound.other import other_tempo
from sideshake.sound.peak import peak_near
from sideshake.sound.template import AlignedTicks, Templates, make_templates
from sideshake.sound.tempo import Tempo, refuse_music
from sideshake.sound.told import OtherBeats, page_tempo
from sideshake.sound.twin import Twin, twin_of
from sideshake.sound.windows import Windows, WindowSpan, cut_windows, span_for, tick_span_for

Samples = NDArray[np.float32]

LEAST_S = 1.0
"""Six of the fastest watch's beats, and half as much again around them."""
LEAST_BEATS = 6
LEAST_HEARD_SHARE = 0.5
MOST_SCATTER, MOST_SCATTER_FEW, FEW_BEATS = 0.015, 0.004, 40
"""More scatter than this share of a beat is no watch (rain, fire, saws: experiments/segment.py)."""
SAME_TEMPO = 0.02
ALIKE = 0.3
STILL_HEARD, STILL_ALIKE, STILL_COHERENT = 0.9, (0.7, 1.4), 0.9
"""A page goes on as before if so many of its beats are heard, as strong and alike as they were."""
MOMENT_SHARE = 0.25
"""Unlocking and drop lie at most this share of a beat apart."""
QUIET_S = (5e-3, 8e-3)
"""Silence kept before the first noise of a tick and after the last."""


@dataclass(frozen=True, slots=True)
class Lock:
    """What a page tells the next: its even beat (s over beat number), and its average beats.

    `span` : of the windows in which beats are timed; `tick` : of those that hold the whole tick
    """

    line: BeatLine
    span: WindowSpan
    arrivals: Arrivals
    tick: WindowSpan


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """What one segment of sound gave; times in seconds after the recording's first sample.

    `likeness` : how like a watch it sounds; that of the page before where it simply goes on
    """

    start_s: float
    beats: Beats
    expected: int
    portraits: Templates
    tempo: Tempo
    lock: Lock
    other_beats_per_hour: float | None = None
    loud_offset_s: float | None = None
    likeness: Likeness | None = None
    twin: Twin | None = None


def hear_segment(
    samples: Samples,
    rate_hz: int,
    *,
    start_s: float,
    beats_per_hour: float | None = None,
    before: Segment | None = None,
) -> Segment:
    """Return what is heard in `samples`, the first of which stands at `start_s`.

    With a page `before`, its beats are followed if they simply go on; otherwise the page is heard
    afresh, and only joined to what went before.

    Raises
    ------
    NotEnough : no steady ticking in it
    OtherBeats : it is read, but with other beats per hour than told
    """
    require_long_enough(samples, rate_hz)
    followed = None if before is None else follow_segment(samples, start_s=start_s, before=before)
    if followed is not None:
        return followed
    try:
        return hear_afresh(
            samples, rate_hz, start_s=start_s, beats_per_hour=beats_per_hour, before=before
        )
    except (OtherBeats, NotEnough) as why:
        if before is not None:
            raise
        raise why_not(samples, rate_hz, beats_per_hour, why) from None


def require_long_enough(samples: Samples, rate_hz: int) -> None:
    """Raise NotEnough if there is too little sound for any watch."""
    length_s = samples.size / rate_hz
    if length_s < LEAST_S:
        said = f"{length_s:.2f} s" if length_s >= 0.005 else "less than 0.01 s"
        raise NotEnough(
            f"{said} of sound is too short: a few seconds are needed, half a minute is good"
        )


def why_not(
    samples: Samples, rate_hz: int, told: float | None, why: OtherBeats | NotEnough
) -> OtherBeats | NotEnough:
    """Return the reason why a page cannot be read that is nearest to the cause.

    What is heard without the number told; else a place where the beats jump; else what was found.
    """
    if told is not None:
        try:
            free = hear_afresh(samples, rate_hz, start_s=0.0)
            return OtherBeats(3600 / free.lock.line.beat, told)
        except NotEnough as unasked:
            why = unasked if isinstance(why, OtherBeats) else why
    return jumping(samples, rate_hz) or why


def hear_afresh(
    samples: Samples,
    rate_hz: int,
    *,
    start_s: float,
    beats_per_hour: float | None = None,
    before: Segment | None = None,
) -> Segment:
    """Return what is heard in `samples` by themselves, joined to what went before."""
    lock = None if before is None else before.lock
    loudness, frame_s = prominence(frame_powers(samples, rate_hz)), frame_length(rate_hz) / rate_hz
    tempo = page_tempo(loudness, frame_s, beats_per_hour, lock.line.beat if lock else None)
    refuse_another(tempo, lock)
    windows, arrivals = find_arrivals(expected_windows(samples, tempo, rate_hz))
    refuse_untrue(windows, arrivals, tempo)
    if beats_per_hour is None and lock is None:
        refuse_music(loudness, frame_s, tempo)
    other = None if lock else other_tempo(loudness, frame_s, tempo, windows, arrivals)
    likeness = page_likeness(windows, arrivals, tempo, loudness=loudness, frame_s=frame_s)
    if lock is not None:
        windows, arrivals = continued(lock, windows, arrivals, start_s)
    whole = tick_span_for(tempo.period_s / 2, rate_hz)
    ticks = whole_ticks(samples, windows, arrivals, whole)
    page = segment_from(windows, arrivals, tempo, ticks=ticks, start_s=start_s)
    return replace(
        page,
        other_beats_per_hour=other,
        likeness=likeness,
        twin=None if lock else segment_twin(loudness, frame_s, page.lock.line, start_s),
    )


def segment_twin(
    loudness: NDArray[np.float64], frame_s: float, line: BeatLine, start_s: float
) -> Twin | None:
    """Return a second watch of the same beat as the line's, if there is one to be heard."""
    first = (float(np.nanmean(line.start)) - start_s) / frame_s
    return twin_of(loudness, first=first, beat=line.beat / frame_s, frame_s=frame_s)


def jumping(samples: Samples, rate_hz: int) -> NotEnough | None:
    """Return where the beats jump, if the sound would be read but for that."""
    loudness, frame_s = prominence(frame_powers(samples, rate_hz)), frame_length(rate_hz) / rate_hz
    jump = without_jump(loudness, frame_s)
    if jump is None:
        return None
    first, after = (round(each * rate_hz) for each in (jump.at_s, jump.on_s))
    try:
        hear_afresh(np.concatenate([samples[:first], samples[after:]]), rate_hz, start_s=0.0)
    except NotEnough:
        return None
    return NotEnough(
        f"the beats jump by some {1e3 * jump.by_s:.0f} ms near {jump.at_s:.0f} s, as where sound "
        "was lost or a recording was cut and joined; record it in one piece"
    )


def follow_segment(samples: Samples, *, start_s: float, before: Segment) -> Segment | None:
    """Return the page if its beats come where those before let expect, and sound like them."""
    lock = before.lock
    if not lock.arrivals.by_waveform:
        return None
    windows = predicted_windows(samples, lock, start_s)
    if windows is None:
        return None
    arrivals = follow(windows, lock.arrivals)
    usual = before.beats.count / before.expected
    if np.count_nonzero(arrivals.heard) < max(
        LEAST_BEATS, STILL_HEARD * usual * windows.number.size
    ):
        return None
    alike = STILL_ALIKE[0] < np.median(arrivals.strength[arrivals.heard]) < STILL_ALIKE[1]
    if not alike or arrivals.coherence < STILL_COHERENT * lock.arrivals.coherence:
        return None
    arrivals = replace(arrivals, moment=moment_offset(lock, arrivals, windows))
    ticks = whole_ticks(samples, windows, arrivals, lock.tick)
    page = segment_from(windows, arrivals, before.tempo, ticks=ticks, start_s=start_s)
    tempo = replace(before.tempo, period_s=2 * page.lock.line.beat)
    return replace(page, tempo=tempo, likeness=before.likeness)


def predicted_windows(samples: Samples, lock: Lock, start_s: float) -> Windows | None:
    """Return the windows around the beats that the lock lets expect in the page, None if few."""
    span = lock.span
    base = float(np.nanmean(lock.line.start))
    first = int((start_s - base) / lock.line.beat) - 1
    number = first + np.arange(int(samples.size / span.rate_hz / lock.line.beat) + 3)
    side = (number % 2).astype(np.int8)
    begin = np.where(np.isnan(lock.line.start), base, lock.line.start)[side]
    moment = (begin + lock.line.beat * number - start_s) * span.rate_hz
    start = np.rint(moment - lock.arrivals.moment[side]).astype(np.intp) - span.lead
    inside = (start >= 0) & (start + span.length <= samples.size)
    if np.count_nonzero(inside) < LEAST_BEATS:
        return None
    return cut_windows(samples, start[inside], number[inside], side[inside], span=span)


def expected_windows(samples: Samples, tempo: Tempo, rate_hz: int) -> Windows:
    """Return the windows around every beat that the tempo lets expect wholly inside the page."""
    span = span_for(tempo.period_s / 2, rate_hz)
    turns = int(samples.size / rate_hz / tempo.period_s) + 2
    number = np.arange(-2, 2 * turns)
    phase_s = np.where(number % 2 == 0, tempo.first_s, tempo.second_s)
    moment_s = phase_s + (number // 2) * tempo.period_s
    start = np.rint(moment_s * span.rate_hz).astype(np.intp) - span.lead
    inside = (start >= 0) & (start + span.length <= samples.size)
    if np.count_nonzero(inside) < LEAST_BEATS:
        raise NotEnough(f"fewer than {LEAST_BEATS} beats fit into this sound")
    number, start = number[inside], start[inside]
    return cut_windows(samples, start, number, (number % 2).astype(np.int8), span=span)


def refuse_another(tempo: Tempo, lock: Lock | None) -> None:
    """Raise NotEnough if this is not the watch that was heard before."""
    if lock is not None and abs(tempo.period_s / 2 / lock.line.beat - 1) > SAME_TEMPO:
        raise NotEnough(f"another watch, {tempo.beats_per_hour:.0f} beats an hour, is heard here")


def refuse_untrue(windows: Windows, arrivals: Arrivals, tempo: Tempo) -> None:
    """Raise NotEnough if what repeats is not a watch's even beat."""
    heard = arrivals.heard
    expected = heard.size / 2 if tempo.one_heard else heard.size
    if heard.sum() < max(LEAST_BEATS, LEAST_HEARD_SHARE * expected):
        raise NotEnough("only few of the beats expected are there; this is not a steady ticking")
    line = fit_line(windows.number[heard].astype(float), windows.side[heard], arrivals.shift[heard])
    most = MOST_SCATTER if heard.sum() >= FEW_BEATS else MOST_SCATTER_FEW
    beat = tempo.period_s / 2 * windows.span.rate_hz
    if line.sigma > most * beat or abs(line.beat) > SAME_TEMPO * beat:
        raise NotEnough("what repeats comes too unevenly to be a watch")


def continued(
    lock: Lock, windows: Windows, arrivals: Arrivals, start_s: float
) -> tuple[Windows, Arrivals]:
    """Return windows and arrivals with the lock's beat numbers and its moment of the tick."""
    seen = arrivals.heard
    moment_s = start_s + (windows.start + windows.span.lead + arrivals.shift) / windows.span.rate_hz
    first = (moment_s - np.nanmean(lock.line.start)) / lock.line.beat - windows.number
    step = round(float(np.median(first[seen])))
    number = windows.number + step
    side = (number % 2).astype(np.int8)
    if step % 2:
        arrivals = replace(
            arrivals, templates=arrivals.templates[::-1], profiles=arrivals.profiles[::-1]
        )
    moment = moment_offset(lock, arrivals, windows)
    return replace(windows, number=number, side=side), replace(arrivals, moment=moment)


def moment_offset(lock: Lock, now: Arrivals, windows: Windows) -> NDArray[np.float64]:
    """Return how much later (samples) the moment meant before is than the one now, a side each.

    The moment is wherever a page's tick is loudest; that may be the drop on one page and unlocking
    on the next. A side that sounds too unlike what it was stays as it is (0).
    """
    before = lock.arrivals
    if before.by_waveform and now.by_waveform:
        width, leads = 1, (lock.span.lead, windows.span.lead)
        size = int(fft.next_fast_len(lock.span.size + windows.span.size, real=True))
        white = np.interp(np.arange(size // 2 + 1) / size, windows.span.cycles, windows.white)
        old = fft.rfft(fft.irfft(before.templates, lock.span.size, axis=1), size, axis=1) * white
        new = fft.rfft(fft.irfft(now.templates, windows.span.size, axis=1), size, axis=1) * white
    else:
        width = cell_width(windows.span.rate_hz)
        leads = (before.profile_lead, now.profile_lead)
        size = int(fft.next_fast_len(2 * now.profiles.shape[1], real=True))
        old, new = (fft.rfft(each.profiles, size, axis=1) for each in (before, now))
    far = round(MOMENT_SHARE * lock.line.beat * windows.span.rate_hz / width)
    far = min(far, (size - 1) // 2)  # further lags are these again, one turn on
    centre = round((leads[0] - leads[1]) / width)
    likeness = fft.irfft(np.conj(new) * old, size, axis=1)
    late, peak = peak_near(likeness, np.full(2, float(centre)), far)
    energy = [np.sum(np.abs(fft.irfft(each, size, axis=1)) ** 2, axis=1) for each in (old, new)]
    alike = peak / np.sqrt(energy[0] * energy[1] + 1e-12)
    return np.where(alike > ALIKE, leads[0] - leads[1] - late * width + before.moment, 0.0)


def whole_ticks(
    samples: Samples, windows: Windows, arrivals: Arrivals, tick: WindowSpan
) -> AlignedTicks:
    """Return the windows of `tick`'s span around the beats that lie whole in the page."""
    start = windows.start + windows.span.lead - tick.lead
    inside = (start >= 0) & (start + tick.length <= samples.size)
    return AlignedTicks(
        cut_windows(
            samples, start[inside], windows.number[inside], windows.side[inside], span=tick
        ),
        arrivals.shift[inside],
        arrivals.heard[inside],
        arrivals.moment,
    )


def segment_from(
    windows: Windows, arrivals: Arrivals, tempo: Tempo, *, ticks: AlignedTicks, start_s: float
) -> Segment:
    """Return the page: beats, portraits, and the lock for the next one."""
    span, heard = windows.span, arrivals.heard
    arrival_s = start_s + (windows.start + span.lead + arrivals.late(windows.side)) / span.rate_hz
    portraits = make_templates(ticks, beat_s=tempo.period_s / 2, seed=round(start_s * 1000))
    number = windows.number[heard].astype(np.int64)
    beats = Beats(
        arrival_s[heard],
        number,
        arrivals.strength[heard].astype(np.float32),
        *(each[heard] for each in moves_s(ticks, portraits, windows)),
    )
    line = fit_line(number.astype(float), beats.side, beats.arrival_s)
    return Segment(
        start_s=start_s,
        beats=beats,
        expected=heard.size,
        portraits=portraits,
        tempo=tempo,
        lock=Lock(line, span, arrivals, tick_span(ticks.windows.span, portraits, span)),
        loud_offset_s=loud_offset_s(arrivals, span.rate_hz),
    )


def moves_s(ticks: AlignedTicks, portraits: Templates, windows: Windows) -> NDArray[np.float64]:
    """Return for each window how much later than it mostly does the middle of lift comes, and
    unlocking (s): shape (2, windows)."""
    late_s = np.zeros((2, windows.number.size))
    for side, portrait in enumerate(portraits.sides):
        if portrait is not None:
            place = np.searchsorted(windows.number, ticks.windows.number[ticks.rows(side)])
            late_s[:, place] = portrait.onsets.middle_late_s, portrait.onsets.unlock_late_s
    return late_s


def tick_span(whole: WindowSpan, portraits: Templates, timed: WindowSpan) -> WindowSpan:
    """Return the span that holds the tick with silence before and after it.

    Only what is surely explained may be cut down.
    """
    explanation = portraits.explanation
    if explanation is None or not explanation.sure:
        return whole
    at_s = [event.at_s for side in explanation.events for event in side]
    lead = round((QUIET_S[0] - min(at_s)) * whole.rate_hz)
    tail = round((QUIET_S[1] + max(at_s)) * whole.rate_hz)
    return WindowSpan(
        lead=min(whole.lead, max(lead, timed.lead)),
        tail=min(whole.tail, max(tail, timed.tail)),
        rate_hz=whole.rate_hz,
    )
