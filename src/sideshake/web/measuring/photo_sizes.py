"""Sizes measured in a photograph: seen, shown, and stored once somebody says yes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from sideshake.drawings.hole_seen import deviations_picture, edge_picture
from sideshake.photo.hole import HoleSeen, measure_hole
from sideshake.photo.sizes import OVAL, ROUND, sizes_of
from sideshake.photo.told import hole_sentence, notes_of, turned_sentences
from sideshake.photo.turned import LEAST_PHOTOGRAPHS, TurnedPhotographs, combined
from sideshake.web.evidence.photographs import file_of
from sideshake.web.measuring.photo_forms import Pressed
from sideshake.web.measuring.photo_opened import opened
from sideshake.web.measuring.services import store
from sideshake.web.measuring.taken import Taken
from sideshake.web.models import Photograph, User


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoLook:
    """A hole as it was pressed in one photograph."""

    path: Path
    pressed: Pressed


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoSeen:
    """What the photographs tell of a hole, the one that is shown last."""

    holes: tuple[HoleSeen, ...]
    together: TurnedPhotographs | None

    @property
    def here(self) -> HoleSeen:
        """Return the hole as this photograph shows it."""
        return self.holes[-1]

    @property
    def sentences(self) -> list[str]:
        """Return what was found, in sentences; what several tell together comes first."""
        turned = turned_sentences(self.together) if self.together else []
        return [*turned, hole_sentence(self.here)]

    @property
    def notes(self) -> list[str]:
        """Return what must be said beside the figures."""
        return list(dict.fromkeys(note for each in self.holes for note in notes_of(each)))

    @property
    def may_be_kept(self) -> bool:
        """Return whether it is a size to keep: photographs that contradict each other are none."""
        return self.together is None or not self.together.contradict

    @property
    def more_wanted(self) -> int:
        """Return how many more photographs tell wear from the camera."""
        return max(0, LEAST_PHOTOGRAPHS - len(self.holes))


def look_at(row: Photograph, pressed: Pressed) -> PhotoLook:
    """Return a photograph with what was pressed in it.

    Raises
    ------
    InputError : its file is gone
    """
    return PhotoLook(path=file_of(row, "original"), pressed=pressed)


def seen(looks: Sequence[PhotoLook]) -> PhotoSeen:
    """Return what the looks tell of one hole.

    Raises
    ------
    InputError : a place lies outside its photograph, or the turns are too few or too alike
    NotEnough : nothing can be measured; the sentence says why, and what to do
    """
    holes = tuple(hole_in(look.path, look.pressed) for look in looks)
    enough = len(holes) >= LEAST_PHOTOGRAPHS
    return PhotoSeen(holes=holes, together=combined(holes) if enough else None)


@lru_cache(maxsize=24)
def hole_in(path: Path, pressed: Pressed) -> HoleSeen:
    """Return the hole in a photograph; a file is named after its content and never changes."""
    photo = opened(path)
    return measure_hole(photo, pressed.at_px, pressed.scale, view=pressed.view)


def picture_of(look: PhotoLook, kind: str) -> str:
    """Return the drawn edge over the photograph, or the deviations of the rim (SVG)."""
    hole = hole_in(look.path, look.pressed)
    if kind == "off":
        return deviations_picture(hole)
    return edge_picture(opened(look.path), hole)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptSize:
    """Which size of the watch it is: its table, and whether the work was done."""

    table: str
    after: bool


def keys_of(kept: KeptSize) -> list[str]:
    """Return the keys of a hole's sizes, round and oval."""
    return [f"{kept.table}.{name}" for name in (*ROUND, *OVAL)]


def keep(
    row: Photograph, found: PhotoSeen, kept: KeptSize, by: User, *, versions: Mapping[str, int]
) -> None:
    """Store what was seen as the hole's size, with the photograph as its evidence.

    An oval is stored by its axes, a round hole by its diameter; the other lines are emptied.

    Parameters
    ----------
    versions : by key, the version of the stored size that the person saw

    Raises
    ------
    InputError : a size cannot be with the others
    Overtaken : somebody else measured the same meanwhile
    """
    sizes = sizes_of(found.here, found.together)
    typed = dict.fromkeys(keys_of(kept), "")
    typed |= {f"{kept.table}.{name}": size.text() for name, size in sizes.items()}
    taken = Taken(after=kept.after, photograph=row, told=found.sentences[0])
    store(row.visit, typed, by, seen=versions, taken=taken)
