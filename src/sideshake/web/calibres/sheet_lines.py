"""The sections in which a calibre is edited, and every line in them: what it means, what it holds.

All of it is read from the sheet's own description, so that no line can be forgotten.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from sideshake.core.quantities import Measured
from sideshake.movement.lines import SheetSection
from sideshake.movement.opening import WORKS
from sideshake.movement.sheet import CalibreSheet, holds_many, section_of


class Holds(Enum):
    """What a line holds."""

    SIZE = "size"
    COUNT = "count"
    NUMBER = "number"
    YES_NO = "yes-no"
    CHOICE = "choice"
    WORDS = "words"
    LIST = "list"


@dataclass(frozen=True, slots=True, kw_only=True)
class LineKind:
    """One line of the sheet: its dotted key, what it means and holds, and an example."""

    key: str
    meaning: str
    holds: Holds
    example: str = ""
    choices: tuple[str, ...] = ()

    @property
    def has_source(self) -> bool:
        """Return whether it is said where the line comes from."""
        if self.key in OWN_WORDS or self.key.startswith("sources."):
            return False
        return self.key.rpartition(".")[2] not in NAMES

    @property
    def is_rare(self) -> bool:
        """Return whether few rows of its list have it."""
        rows, _number, name = (*self.key.rsplit(".", 2), "", "")[:3]
        return name in RARE.get(rows, ())


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Lines that stand together: a table of the sheet, or one row of a list of tables."""

    place: str
    title: str
    lines: tuple[LineKind, ...]
    may_lack: bool = False
    """Whether a movement may be without all of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPart:
    """One section of the pages: its address, its name, what of the sheet stands in it."""

    slug: str
    title: str | Promise
    tables: tuple[str, ...] = ()
    rows: str = ""
    """The list of tables that is edited in it."""
    picture: str = ""
    """The name of the address that draws it."""


NAMES = ("name", "arbor", "side")
"""What a row is called, and where it is."""
RARE = {
    "train.arbors": (
        "driven_by", "driver_wheel", "friction_spring", "pinion_module_mm", "centre_distance_mm",
    ),
}  # fmt: skip
"""Lines that stand in a fold of their row, open where something is written in one of them."""
OWN_WORDS = ("name", "kind", "u_mm", "weak_points")
PARTS = (
    SheetPart(
        slug="movement",
        title=_("Movement"),
        tables=("name", "kind", "diameter_mm", "jewels", "u_mm"),
    ),
    SheetPart(
        slug="train",
        title=_("Train"),
        tables=("train", "motion_work"),
        rows="train.arbors",
        picture="calibre-train",
    ),
    SheetPart(
        slug="escapement",
        title=_("Escapement"),
        tables=("beats_per_hour", "lift_angle_deg", "escapement", "balance"),
    ),
    SheetPart(
        slug="barrel",
        title=_("Spring and barrel"),
        tables=("barrel", "mainspring", "drive", "fusee", "directions"),
        picture="calibre-spring",
    ),
    SheetPart(slug="bearings", title=_("Bearings"), rows="bearings"),
    SheetPart(
        slug="calendar",
        title=_("Calendar"),
        tables=("calendar", "day"),
        picture="calibre-dial",
    ),
    SheetPart(slug="winding", title=_("Winding"), tables=("winding", "automatic")),
    SheetPart(slug="chronograph", title=_("Chronograph"), tables=("chronograph",)),
    SheetPart(slug="limits", title=_("Limits"), tables=("nominal",)),
    SheetPart(slug="weak-points", title=_("Weak points"), tables=("weak_points",)),
    SheetPart(slug="sources", title=_("Sources"), rows="sources"),
)
ROW_TITLES = {
    "train.arbors": _("Arbor %(n)d"),
    "bearings": _("Bearing %(n)d"),
    "sources": _("Source %(n)d"),
}
MEANINGS = {
    "sources.key": _("line or section, as in the file"),
    "sources.text": _("where it comes from"),
    "sources.from_memory": _("from memory"),
}
"""Of the lines that the sheet itself does not describe."""


def groups_of(part: SheetPart) -> Iterator[Group]:
    """Yield the tables of a section of the pages, each with its lines."""
    single = tuple(
        line_kind(key, CalibreSheet.model_fields[key])
        for key in part.tables
        if section_of(CalibreSheet.model_fields[key].annotation) is None
    )
    if single:
        yield Group(place="", title=str(part.title), lines=single)
    for key in part.tables:
        section = section_of(CalibreSheet.model_fields[key].annotation)
        if section is not None:
            yield from groups_in(key, CalibreSheet.model_fields[key], section)


def groups_in(place: str, field: Any, section: type[SheetSection]) -> Iterator[Group]:
    """Yield a table and the tables in it; lists of tables are left to `row_group`."""
    inner = []
    lines = []
    for key, each in section.model_fields.items():
        below = section_of(each.annotation)
        if below is None:
            lines.append(line_kind(f"{place}.{key}", each))
        elif not holds_many(each.annotation):
            inner.append((f"{place}.{key}", each, below))
    yield Group(
        place=place,
        title=field.description or place,
        lines=tuple(lines),
        may_lack=place in WORKS,
    )
    for each_place, each, below in inner:
        yield from groups_in(each_place, each, below)


def row_group(rows: str, number: int) -> Group:
    """Return one row of a list of tables, counted from 0."""
    section = row_section(rows)
    place = f"{rows}.{number}"
    lines = tuple(
        line_kind(f"{place}.{key}", field, described=f"{rows}.{key}")
        for key, field in section.model_fields.items()
    )
    return Group(place=place, title=ROW_TITLES[rows] % {"n": number + 1}, lines=lines)


def row_section(rows: str) -> type[SheetSection]:
    """Return what a row of a list of tables is."""
    section: type[SheetSection] = CalibreSheet
    for each in rows.split("."):
        section = section_of(section.model_fields[each].annotation) or SheetSection
    return section


def line_kind(key: str, field: Any, *, described: str = "") -> LineKind:
    """Return a line from its field in the sheet's description."""
    example = field.examples[0] if field.examples else None
    holds, choices = held_by(field.annotation)
    return LineKind(
        key=key,
        meaning=field.description or str(MEANINGS.get(described, key)),
        holds=holds,
        example="" if example is None or holds in (Holds.YES_NO, Holds.CHOICE) else shown(example),
        choices=choices,
    )


def shown(example: object) -> str:
    """Return an example as it would be typed."""
    if isinstance(example, list):
        return "; ".join(map(str, example))
    return str(example).replace("+-", " ± ")


def held_by(annotation: Any) -> tuple[Holds, tuple[str, ...]]:
    """Return what a line of this type holds, and the words it may be one of."""
    kinds = list(plain_types(annotation))
    words = tuple(each for each in kinds if isinstance(each, str))
    if words:
        return Holds.CHOICE, words
    for kind, holds in (
        (Measured, Holds.SIZE), (bool, Holds.YES_NO), (int, Holds.COUNT), (float, Holds.NUMBER),
    ):  # fmt: skip
        if kind in kinds:
            return holds, ()
    return (Holds.LIST if holds_many(annotation) else Holds.WORDS), ()


def plain_types(annotation: Any) -> Iterator[Any]:
    """Yield the types a line may hold; of a choice its words."""
    if get_origin(annotation) is Literal:
        yield from get_args(annotation)
    elif get_origin(annotation) in (UnionType, Union, tuple):
        for each in get_args(annotation):
            yield from plain_types(each)
    elif hasattr(annotation, "__metadata__"):
        yield annotation.__origin__
    else:
        yield annotation


def part_named(slug: str) -> SheetPart | None:
    """Return a section of the pages by its address; None when there is none."""
    return next((each for each in PARTS if each.slug == slug), None)
