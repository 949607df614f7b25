"""The stored sizes of the places beside the barrel: by their keys, in words, and as lines."""

from collections.abc import Iterable, Mapping
from functools import cache

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from sideshake.core.quantities import Measured
from sideshake.movement.written import checked
from sideshake.wear.place_sizes import PlaceLines, require_sizes
from sideshake.wear.watch_places import OF_BEARING, watch_places
from sideshake.web.models import Measurement

PLUS_MINUS = ("±", "+-", "+/-")


def written(row: Measurement) -> str:
    """Return a stored size as it is typed: 0.92 ± 0.01, or the words and readings it came from."""
    if row.word:
        return row.word
    return Measured(row.value, row.u or 0.0).typed() if row.value is not None else ""


def of_barrel(rows: Iterable[Measurement]) -> list[Measurement]:
    """Return the sizes of barrel and watch, without those of other bearings."""
    return [row for row in rows if not row.key.startswith(OF_BEARING)]


def place_and_size(key: str) -> tuple[str, str]:
    """Return a place's name and the size from a key, such as bearing.third.above.hole_mm.

    >>> place_and_size("bearing.third.above.hole_mm"), place_and_size("bearing.rotor.play_mm")
    (('third.above', 'hole_mm'), ('rotor', 'play_mm'))
    """
    name, _dot, size = key.removeprefix(OF_BEARING).rpartition(".")
    return name, size


@cache
def usual_words() -> Mapping[str, str]:
    """Return what the usual places are called."""
    return {each.name: each.words for each in watch_places(None)}


def words_of(name: str) -> str:
    """Return what a place is called by its name alone, whatever the sheet has by now.

    >>> words_of("third.above"), words_of("sweep-seconds.below")
    ('third wheel, above', 'sweep seconds wheel, below')
    """
    arbor, _dot, side = name.partition(".")
    bare = arbor.replace("-", " ")
    return usual_words().get(name) or (f"{bare} wheel, {side}" if side else bare)


def place_title(table: str) -> str:
    """Return what the place with a table is called, as a heading."""
    return str(capfirst(words_of(table.removeprefix(OF_BEARING))))


def place_size_name(key: str) -> str:
    """Return what a size is called: its place and what it is; its key where that is unknown."""
    name, size = place_and_size(key)
    told = PlaceLines.model_fields.get(size)
    if not key.startswith(OF_BEARING) or told is None:
        return key
    return f"{capfirst(words_of(name))}: {told.description}"


def place_names(rows: Iterable[Measurement]) -> dict[str, str]:
    """Return what the sizes of other bearings are called, in the order of the watch."""
    order = list(usual_words())
    lines = list(PlaceLines.model_fields)

    def standing(key: str) -> tuple[int, str, int]:
        name, size = place_and_size(key)
        known = order.index(name) if name in order else len(order)
        return (known, name, lines.index(size) if size in lines else len(lines))

    keys = {row.key for row in rows if row.key.startswith(OF_BEARING)}
    return {key: place_size_name(key) for key in sorted(keys, key=standing)}


def place_lines(rows: Iterable[Measurement]) -> dict[str, PlaceLines]:
    """Return what was measured at each place beside the barrel, by the place's name.

    Raises
    ------
    InputError : a size cannot be; its place is named
    """
    trees: dict[str, dict[str, str]] = {}
    for row in rows:
        if row.key.startswith(OF_BEARING):
            name, size = place_and_size(row.key)
            trees.setdefault(name, {})[size] = written(row)
    return {
        name: checked(PlaceLines, tree, _("%(place)s, as measured") % {"place": words_of(name)})
        for name, tree in trees.items()
    }


def require_places(rows: Iterable[Measurement]) -> None:
    """Refuse sizes of a place that cannot be together.

    Raises
    ------
    InputError : a hole is given in two ways, or smaller than its pivot; the place is named
    """
    for name, lines in place_lines(rows).items():
        require_sizes(words_of(name), lines)
