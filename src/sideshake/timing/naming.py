"""Whether the noises of a page are surely named, and in words why not."""

from sideshake.errors import NotEnough
from sideshake.sound.explain import SURE, Explanation
from sideshake.sound.listener import PageNote
from sideshake.timing.amplitude import amplitude_deg

WITHIN_REACH = 0.02
"""Another explanation is told when it is at least so probable."""
ENOUGH_DB = -29.0
"""An unlocking fainter than this against the drop is too rare to be thought of."""
LEAST_QUIETER_DB = 3.0


def require_sure(note: PageNote, *, beat_s: float, lift_angle_deg: float) -> None:
    """Raise NotEnough, with the reason, unless it is sure which noises unlocking and drop are."""
    explanation = note.explanation
    if explanation is None:
        raise NotEnough("only one of tick and tock is heard")
    if explanation.sure:
        return
    if explanation.hidden > 1 - SURE:
        raise NotEnough(hidden_words(explanation))
    swings = [
        amplitude_deg(choice.span_s, beat_s=beat_s, lift_angle_deg=lift_angle_deg)
        for choice in explanation.choices
        if choice.probability > WITHIN_REACH and choice.span_s < beat_s
    ]
    if len(swings) > 1:
        told = " or ".join(f"{swing:.0f}°" for swing in sorted(swings))
        raise NotEnough(f"the noises of the tick can be named in two ways: {told}")
    raise NotEnough("it is not sure which noises are unlocking and drop")


def hidden_words(explanation: Explanation) -> str:
    """Return what would settle whether a fainter unlocking hides in the room's noise."""
    quieter_db = max(LEAST_QUIETER_DB, explanation.limit_db - ENOUGH_DB)
    return (
        "a fainter unlocking could hide in the room's noise; a room some "
        f"{quieter_db:.0f} dB quieter, or the microphone that much nearer, would settle it"
    )
