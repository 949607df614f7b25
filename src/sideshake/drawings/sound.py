"""All pictures of one reading: which there are, and why another is not."""

from dataclasses import dataclass

from sideshake.core.errors import NotEnough
from sideshake.drawings.amplitude import amplitude_drawing
from sideshake.drawings.page import svg_text as chart_svg
from sideshake.drawings.ring import ring_drawing
from sideshake.drawings.sound_portrait import portrait_chart
from sideshake.drawings.strip import LONG_S, strip_drawing
from sideshake.drawings.svg import svg_text
from sideshake.timing.amplitude_course import amplitude_course
from sideshake.timing.reading import Reading
from sideshake.timing.turn.fold import WheelTurn, fold

NO_TEETH = "With the teeth of the escape wheel known, this would be a ring of one turn."


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundPictures:
    """The pictures of a reading, each as SVG; "" where there is none.

    `lateness` : a ring where the escape wheel's teeth are known, else the strip along time
    `unrolled` : the strip, where `lateness` is a ring
    `no_portrait` : why there is no portrait
    """

    lateness: str
    unrolled: str
    amplitude: str
    portrait: str
    no_portrait: str
    long: bool


def sound_pictures(reading: Reading, escape_teeth: int | None) -> SoundPictures:
    """Return the pictures of a reading; without teeth there is a strip and no ring."""
    portrait, reason = "", ""
    try:
        portrait = chart_svg(portrait_chart(reading))
    except NotEnough as why:
        reason = str(why)
    turn, note = folded(reading, escape_teeth)
    strip = svg_text(strip_drawing(reading, escape_teeth, (note,) if note else ()))
    return SoundPictures(
        lateness=svg_text(ring_drawing(turn, beat_error(reading))) if turn else strip,
        unrolled=strip if turn else "",
        amplitude=amplitude_svg(reading),
        portrait=portrait,
        no_portrait=reason,
        long=reading.heard.duration_s > LONG_S,
    )


def folded(reading: Reading, escape_teeth: int | None) -> tuple[WheelTurn | None, str]:
    """Return the lateness of one turn; or None, and why there is no ring."""
    if escape_teeth is None:
        return None, NO_TEETH
    try:
        return fold(reading, escape_teeth), ""
    except NotEnough as why:
        return None, f"No ring: {why}."


def beat_error(reading: Reading) -> tuple[str, ...]:
    """Return the beat error in words: it sets the stems of ticks and of tocks apart."""
    error = reading.beat_error_ms
    if error is None:
        return ()
    return (f"Beat error {error.text()} ms: so far do tick and tock stand apart.",)


def amplitude_svg(reading: Reading) -> str:
    """Return the amplitude along time; "" where too little of it was heard."""
    try:
        course = amplitude_course(reading)
    except NotEnough:
        return ""
    return svg_text(amplitude_drawing(course, end_s=reading.heard.duration_s))
