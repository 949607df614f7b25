"""A pivot measured in a photograph, stored as the pivot of its bearing on yes."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.drawings.wheel_seen import pivot_picture as edges_picture
from sideshake.photo.part_scale import pivot_scale
from sideshake.photo.pivot import Pivot
from sideshake.photo.wheel_in import pivot_in
from sideshake.photo.wheel_words import pivot_notes, pivot_sentences
from sideshake.web.evidence.photographs import file_of
from sideshake.web.measuring.photo_opened import opened
from sideshake.web.measuring.photo_part_forms import PivotForm, PivotPressed
from sideshake.web.measuring.services import store
from sideshake.web.measuring.taken import Taken
from sideshake.web.models import User


@dataclass(frozen=True, slots=True, kw_only=True)
class PivotSeen:
    """A pivot as a photograph shows it."""

    pivot: Pivot

    @property
    def sentences(self) -> list[str]:
        """Return what was found, in sentences."""
        return pivot_sentences(self.pivot)

    @property
    def notes(self) -> list[str]:
        """Return what must be said beside it."""
        notes = pivot_notes(self.pivot)
        if self.may_be_kept:
            return notes
        return [_("Without a scale there is no size to store: choose one."), *notes]

    @property
    def may_be_kept(self) -> bool:
        """Return whether it is a size to keep."""
        return self.pivot.diameter_mm is not None


def pivot_seen(form: PivotForm) -> PivotSeen:
    """Return what a photograph shows of a pivot.

    Raises
    ------
    InputError : its file is gone
    NotEnough : no pivot is seen, or no scale; the sentence says what to do
    """
    path = file_of(form.photograph, "original")
    return PivotSeen(pivot=pivot_at(path, form.cleaned_data["pressed"]))


@lru_cache(maxsize=24)
def pivot_at(path: Path, pressed: PivotPressed) -> Pivot:
    """Return the pivot in a photograph; a file is named after its content and never changes."""
    photo = opened(path)
    found = pivot_in(photo, pressed.at_px)
    if pressed.scale is None:
        return found
    return replace(found, mm_per_px=pivot_scale(photo, found, pressed.scale))


def pivot_picture(form: PivotForm) -> str:
    """Return the photograph of the pivot with its measured edges (SVG)."""
    path = file_of(form.photograph, "original")
    found = pivot_at(path, form.cleaned_data["pressed"])
    return edges_picture(opened(path), found)


def keep_pivot(form: PivotForm, found: PivotSeen, by: User, *, versions: Mapping[str, int]) -> None:
    """Store the diameter as the pivot of its bearing, with the photograph as its evidence.

    Raises
    ------
    InputError : there is no scale, or the size cannot be with the others
    Overtaken : somebody else measured the same meanwhile
    """
    size = found.pivot.diameter_mm
    if size is None:
        raise InputError(_("a size needs a scale: choose one, or measure it by hand"))
    row = form.photograph
    taken = Taken(after=form.is_after, photograph=row, told=found.sentences[0])
    store(row.visit, {form.key: size.text()}, by, seen=versions, taken=taken)
