"""What the page that tries a microphone is told, twice a second."""

from typing import Any

from django.utils.translation import gettext as _

from sideshake.timing.quality_flags import QualityFlagKind, quality_flags
from sideshake.timing.reading import Reading
from sideshake.timing.sentence import meaning, sentence
from sideshake.web.readings.listening_answer import said
from sideshake.web.readings.microphone_check import MicrophoneLoudness, Trial


def answer(trial: Trial) -> dict[str, Any]:
    """Return how far a trial has come, as JSON can hold it."""
    session, reading = trial.session, trial.session.reading
    return {
        "have": session.have,
        "over": trial.over,
        "heard_s": round(session.attention.heard_s, 1),
        "loudness": str(trial.loudness or ""),
        "level": level_words(trial),
        "said": end_words(trial) if trial.over else said(session),
        "sentence": sentence(reading) if reading else "",
        "meaning": list(meaning(reading)) if reading else [],
        "doubts": doubt_words(reading) if reading else [],
    }


def doubt_words(reading: Reading) -> list[str]:
    """Return the doubts of a reading; its clock is told beside it, and no calibre is known here."""
    lift = _(
        "The lift angle was taken as usual, since no calibre is told here: at a visit the calibre "
        "sheet of the watch tells it, and the swing is surer."
    )
    return [
        lift if each.kind is QualityFlagKind.LIFT_ANGLE else each.text
        for each in quality_flags(reading)
        if each.kind is not QualityFlagKind.CLOCK
    ]


def level_words(trial: Trial) -> str:
    """Return in a sentence whether it is loud enough, and what to do if not."""
    words = {
        MicrophoneLoudness.SILENT: _(
            "No sound at all comes: it is muted or switched off, or another microphone is meant."
        ),
        MicrophoneLoudness.QUIET: _(
            "Too quiet (%(level).0f dB). Bring it nearer, lay the watch upon it, or turn its level "
            "up in the computer's sound settings."
        ),
        MicrophoneLoudness.LOUD: _(
            "Too loud: it reaches full scale, and what is louder is cut off. Turn its level down, "
            "or move it away."
        ),
        MicrophoneLoudness.GOOD: _(
            "Loud enough (%(level).0f dB of full scale), and nothing is cut off."
        ),
    }
    if trial.loudness is None or trial.level_db is None:
        return ""
    return (words[trial.loudness] % {"level": trial.level_db}).replace("-", "−")


def end_words(trial: Trial) -> str:
    """Return how the trial has ended."""
    session = trial.session
    if session.reading is not None:
        return _("This is the first reading. Nothing of the sound was kept.")
    if trial.loudness is MicrophoneLoudness.SILENT:
        return _("No reading: no sound came.")
    why = session.reason or _("nothing was heard that is no handling")
    return _("No reading: %(why)s. Nothing of the sound was kept.") % {"why": why}
