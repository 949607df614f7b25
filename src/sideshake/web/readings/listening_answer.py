"""What a live page is told, twice a second: where it stands, the sentence, numbers to draw."""

from dataclasses import fields
from typing import TYPE_CHECKING, Any

from django.urls import reverse
from django.utils.translation import gettext as _

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.sound.handling_gate import GateStage
from sideshake.timing.quality_flags import QualityFlagKind, quality_flags
from sideshake.timing.reading import Reading
from sideshake.timing.sentence import meaning, sentence
from sideshake.timing.turn.fold import turn_of
from sideshake.timing.turn.words import repeats
from sideshake.web.models import Reading as Record
from sideshake.web.readings.heard_rows import NO_READING
from sideshake.web.readings.listening_session import Session
from sideshake.web.readings.listening_sound import QUIET_DB

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

SAID_ELSEWHERE = (QualityFlagKind.CLOCK, QualityFlagKind.SHORT)
"""The page names the sound clock and the time listened by itself."""


def answer(session: Session) -> dict[str, Any]:
    """Return the state of a live reading as JSON can hold it; figures only when they are fresh."""
    attention = session.attention
    told = {
        "have": session.have,
        "stage": str(attention.stage),
        "said": said(session),
        "heard_s": round(attention.heard_s, 1),
        "all_s": round(session.have / attention.rate_hz, 1),
        "clipped": attention.stillness.clipped,
        "enough": session.enough,
        "fresh": session.fresh,
    }
    if session.fresh and session.reading:
        return told | figures(session.reading, session.known.escape_teeth)
    return told


def said(session: Session) -> str:
    """Return in a sentence what goes on, or why there is no reading."""
    attention = session.attention
    if session.enough:
        return _("Enough: %(why)s.") % {"why": session.enough}
    if attention.stage is GateStage.TOUCHED:
        return _("Something moves. Waiting until it is quiet.")
    if attention.stage is GateStage.RESTING:
        return resting(session)
    return listening(session)


def resting(session: Session) -> str:
    """Return what is waited for before listening begins."""
    attention = session.attention
    left_s = attention.rest_s - attention.stillness.still_for_s
    if attention.stillness.still_for_s == 0:
        return _("Handling is heard. Lay the watch down and leave it alone.")
    return _("Quiet. Letting the balance settle, %(time).0f s more.") % {"time": max(left_s, 0)}


def listening(session: Session) -> str:
    """Return what is heard, or why it is no reading."""
    level_db = session.attention.stillness.level_db
    if session.reading is not None:
        if session.attention.stillness.clipped:
            return _("Listening, but too loud: move the microphone away or turn its level down.")
        return _("Listening.")
    if level_db < QUIET_DB:
        return _(
            "No reading: too quiet (%(level).0f dB of full scale). Bring the microphone nearer or "
            "turn its level up."
        ) % {"level": level_db}
    if session.attention.stillness.clipped:
        return _("No reading: too loud. Move the microphone away or turn its level down.")
    return _("No reading yet: %(why)s.") % {"why": session.reason or _("listening")}


def figures(reading: Reading, escape_teeth: int | None) -> dict[str, Any]:
    """Return what a reading says, and the numbers to draw it."""
    # here: charts load slowly, and the workshop starts without them
    from sideshake.drawings.live_figures import live_portrait, live_ring, live_strip

    try:
        portrait = parts_of(live_portrait(reading))
    except NotEnough:
        portrait = None
    turn = turn_of(reading, escape_teeth)
    return {
        "sentence": sentence(reading),
        "alone": alone(reading),
        "meaning": [*meaning(reading), *(repeats(turn) if turn else ())],
        "doubts": [
            doubt.text for doubt in quality_flags(reading) if doubt.kind not in SAID_ELSEWHERE
        ],
        "rate_s_per_day": measured(reading.rate_s_per_day),
        "rate_alone_s_per_day": measured(reading.rate_alone_s_per_day),
        "amplitude_deg": measured(reading.amplitude_deg),
        "beat_error_ms": measured(reading.beat_error_ms),
        "ring": parts_of(live_ring(turn)) if turn else None,
        "strip": None if turn else parts_of(live_strip(reading, escape_teeth)),
        "portrait": portrait,
    }


def alone(reading: Reading) -> str:
    """Return the rate without the sound clock's share, which listening longer cannot shrink."""
    rate = reading.rate_alone_s_per_day
    if rate is None:
        return ""
    told = {"rate": rate.text(sign=True)}
    return _("With the sound clock taken as right: %(rate)s s a day.") % told


def finished(reading: Record) -> dict[str, Any]:
    """Return what a finished reading says; a long one is still being heard."""
    return {
        "heard": reading.state != NO_READING,
        "sentence": reading.sentence or _("It is being heard again; its page will tell."),
        "no_reading": reading.no_reading,
        "address": reverse("reading", args=[reading.pk]),
    }


def parts_of(drawn: "DataclassInstance") -> dict[str, Any]:
    """Return the fields of a value by name, not copied: they are lists of a thousand numbers."""
    return {each.name: getattr(drawn, each.name) for each in fields(drawn)}


def measured(value: Measured | None) -> list[float] | None:
    """Return a value and its standard uncertainty."""
    return None if value is None else [value.value, value.u]
