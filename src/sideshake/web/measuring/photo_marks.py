"""Points pressed in a photograph where something rubbed, noted at the finding on yes."""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from django.utils.translation import gettext as _

from sideshake.core.errors import NotEnough
from sideshake.photo.pressed import PressedMark, mark_sentences, marks_from
from sideshake.web.evidence.photographs import file_of
from sideshake.web.measuring.photo_findings import OfferedFinding
from sideshake.web.measuring.photo_opened import opened
from sideshake.web.measuring.photo_part_forms import MarksForm, MarksPressed


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksSeen:
    """Where the pressed points lie, and at which finding they are noted."""

    marks: tuple[PressedMark, ...]
    finding: str

    @property
    def sentences(self) -> list[str]:
        """Return where the points lie, in sentences."""
        return mark_sentences(self.marks)

    @property
    def notes(self) -> list[str]:
        """Return what must be said beside it."""
        told = [
            _("Each point counts as pressed to 3 pixels: the nearer the photograph, the better.")
        ]
        if self.marks[0].radius_mm is None:
            told.append(_("Without a scale nobody can tell how far from the middle they lie."))
        return told

    @property
    def offered(self) -> OfferedFinding:
        """Return the finding with where the points lie in its words."""
        return OfferedFinding(
            key=self.finding,
            head=_("Pressed in a photograph:"),
            line=" ".join(self.sentences),
        )


def marks_seen(form: MarksForm) -> MarksSeen:
    """Return where the points lie.

    Raises
    ------
    InputError : the photograph's file is gone
    NotEnough : no point is pressed, one lies too near to the middle, or no scale is seen
    """
    pressed: MarksPressed = form.cleaned_data["pressed"]
    if not pressed.marks_px:
        raise NotEnough(_("Press the points too: where it rubbed, seen from the middle."))
    found = marks_at(file_of(form.photograph, "original"), pressed)
    return MarksSeen(marks=found, finding=form.cleaned_data["finding"])


@lru_cache(maxsize=24)
def marks_at(path: Path, pressed: MarksPressed) -> tuple[PressedMark, ...]:
    """Return where the points lie; a file is named after its content and never changes."""
    return marks_from(
        opened(path), pressed.at_px, pressed.marks_px, scale=pressed.scale, view=pressed.view
    )
