"""What the page that checks a sound clock is told, twice a second."""

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sideshake.sample_clock.checked import ClockFound, How, difference_ppm
from sideshake.web.sample_clock.session import ClockCheck
from sideshake.web.sample_clock.words import advice, found_sentence


def answer(check: ClockCheck) -> dict[str, Any]:
    """Return how far a check has come, as JSON can hold it."""
    return {
        "have": check.have,
        "heard_s": round(check.heard_s, 1),
        "ways": {how: way(check, how) for how in How},
        "doubts": [each for each in (lost(check), differ(check)) if each],
    }


def way(check: ClockCheck, how: How) -> dict[str, Any]:
    """Return what one way says, or why it says nothing yet."""
    found = check.found.get(how)
    if found is None:
        why = check.why_not.get(how, _("listening"))
        return {"sentence": "", "advice": _("Nothing yet: %(why)s.") % {"why": why}, "ready": False}
    refused = check.refusal(found)
    return {
        "sentence": found_sentence(found),
        "advice": f"{refused} {advice(found)}"
        if refused and found.more_s
        else refused or advice(found),
        "ready": not refused,
        "fast_ppm": [found.clock.fast_ppm.value, found.clock.fast_ppm.u],
    }


def lost(check: ClockCheck) -> str:
    """Return a sentence when the tick tells that sound was lost."""
    if not check.lost:
        return ""
    return ngettext(
        "Sound was lost once on the way from the microphone. Only the longest stretch without a "
        "loss counts. Close what else keeps this computer busy.",
        "Sound was lost %(times)d times on the way from the microphone. Only the longest stretch "
        "without a loss counts. Close what else keeps this computer busy.",
        check.lost,
    ) % {"times": check.lost}


def differ(check: ClockCheck) -> str:
    """Return a sentence when both ways speak and contradict each other."""
    both: list[ClockFound] = [check.found[how] for how in How if how in check.found]
    if len(both) < len(How):
        return ""
    difference = difference_ppm(both[0].clock, both[1].clock)
    if difference.holds(0.0):
        return ""
    return _(
        "The two ways differ by %(difference)s ppm. The microphone may be counted by another clock "
        "than its own, and lose a little sound now and then; or the tick is off by more than was "
        "said."
    ) % {"difference": difference.text(sign=True)}
