"""A wheel counted in a photograph: what is told of it, and the finding it offers."""

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from sideshake.core.errors import NotEnough
from sideshake.drawings.wheel_seen import teeth_picture
from sideshake.photo.part_scale import wheel_scale
from sideshake.photo.scale import ByCard
from sideshake.photo.tooth import ToothState
from sideshake.photo.wheel import CountedWheel
from sideshake.photo.wheel_in import wheel_in
from sideshake.photo.wheel_words import OUTLINE_ONLY, clock_word, listed, wheel_sentences
from sideshake.web.evidence.photographs import file_of
from sideshake.web.measuring.photo_findings import OfferedFinding
from sideshake.web.measuring.photo_opened import opened
from sideshake.web.measuring.photo_part_forms import WheelForm, WheelPressed
from sideshake.web.models import Severity
from sideshake.workshop_rules.countable import OTHER, Countable
from sideshake.workshop_rules.findings import BY_KEY

ROUND_THE_WHEEL = gettext_noop(
    "If the card lies round the wheel, its window must be more than twice as wide: lay it beside "
    "the wheel, or take a larger card."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class WheelSeen:
    """A counted wheel: which one, how many teeth it should have, whether tooth 1 was pressed."""

    wheel: CountedWheel
    which: Countable
    expected: int | None
    marked: bool

    @property
    def sentences(self) -> list[str]:
        """Return what was found, in sentences."""
        return wheel_sentences(self.wheel, self.expected)

    @property
    def notes(self) -> list[str]:
        """Return what must be said beside it."""
        told = [self.numbering]
        if self.wheel.wide_gaps and self.expected is None:
            told.append(
                _(
                    "If every second tooth were gone, the wheel would look the same; the number of "
                    "teeth expected tells which it is."
                )
            )
        return [*told, OUTLINE_ONLY]

    @property
    def numbering(self) -> str:
        """Return how the teeth are numbered."""
        if self.marked:
            return _("Numbered clockwise as seen in the photograph; 1 is the tooth pressed.")
        return _(
            "Numbered clockwise as seen in the photograph; 1 is the one nearest to 12 o'clock."
        )

    @property
    def is_other(self) -> bool:
        """Return whether it has another number of teeth than it should."""
        return self.expected not in (None, self.wheel.teeth)

    @property
    def offered(self) -> OfferedFinding | None:
        """Return the finding it offers; none of a wheel that lost no tooth, or is another one."""
        if self.is_other or not lost_words(self.wheel):
            return None
        told = (f"{', '.join(lost_words(self.wheel))}.", self.size, self.first_tooth)
        return OfferedFinding(
            key=self.which.finding,
            title=title_of(self.which),
            head=_("Counted in a photograph:"),
            line=" ".join(each for each in told if each),
            severity=Severity.BROKEN,
        )

    @property
    def size(self) -> str:
        """Return how many teeth are left where one is missing, and how wide it is by its scale."""
        teeth, gone = self.wheel.teeth, len(self.wheel.those(ToothState.MISSING))
        told, across = [], self.wheel.tip_mm
        if gone:
            left = {"left": teeth - gone, "teeth": teeth}
            told.append(_("%(left)d of %(teeth)d teeth are left") % left)
        if across:
            told.append(_("over the tips it measures %(size)s mm") % {"size": across.text()})
        words = "; ".join(told)
        return f"{words[:1].upper()}{words[1:]}." if words else ""

    @property
    def first_tooth(self) -> str:
        """Return where tooth 1 lies, for whoever sees the photograph."""
        return _("Numbered clockwise as seen, 1 at %(hour)s.") % {
            "hour": clock_word(math.radians(self.wheel.each[0].angle_deg))
        }


def title_of(which: Countable) -> str:
    """Return what the finding is called: by its wheel, where that has a name."""
    if which.key == OTHER:
        return BY_KEY[which.finding].title
    return _("%(wheel)s: teeth lost") % {"wheel": which.name}


def lost_words(wheel: CountedWheel) -> list[str]:
    """Return which teeth are missing and which are broken off; empty if none is."""
    missing, broken = wheel.those(ToothState.MISSING), wheel.those(ToothState.BROKEN)
    gone = ngettext(
        "tooth %(which)s of %(teeth)d is missing",
        "teeth %(which)s of %(teeth)d are missing",
        len(missing),
    )
    off = ngettext(
        "tooth %(which)s of %(teeth)d is broken off",
        "teeth %(which)s of %(teeth)d are broken off",
        len(broken),
    )
    return [
        words % {"which": listed(those), "teeth": wheel.teeth}
        for those, words in ((missing, gone), (broken, off))
        if those
    ]


def wheel_seen(form: WheelForm) -> WheelSeen:
    """Return what a photograph shows of a wheel.

    Raises
    ------
    InputError : its file is gone
    NotEnough : the count is not certain, or the scale is not seen; the sentence says what to do
    """
    pressed: WheelPressed = form.cleaned_data["pressed"]
    return WheelSeen(
        wheel=wheel_at(file_of(form.photograph, "original"), pressed),
        which=form.chosen,
        expected=form.expected_teeth,
        marked=pressed.first_px is not None,
    )


@lru_cache(maxsize=24)
def wheel_at(path: Path, pressed: WheelPressed) -> CountedWheel:
    """Return the wheel in a photograph; a file is named after its content and never changes."""
    photo = opened(path)
    try:
        found = wheel_in(photo, pressed.at_px, inside=pressed.inside, first=pressed.first_px)
    except NotEnough as why:
        if not isinstance(pressed.scale, ByCard):
            raise
        raise NotEnough(f"{why.sentence} {_(ROUND_THE_WHEEL)}") from None
    if pressed.scale is None:
        return found
    return replace(found, mm_per_px=wheel_scale(photo, found, pressed.scale))


def wheel_picture(form: WheelForm) -> str:
    """Return the photograph of the wheel with its teeth numbered (SVG)."""
    path = file_of(form.photograph, "original")
    found = wheel_at(path, form.cleaned_data["pressed"])
    return teeth_picture(opened(path), found)
