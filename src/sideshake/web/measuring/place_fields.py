"""The fields of one place in the order of the hand, and what is asked before a size is stored."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.wear.bearing import NormalPlay
from sideshake.wear.instruments import Instrument, instruments_for
from sideshake.wear.place_sizes import ENDSHAKE, HOLE, PIVOT, PLAY, SPAN
from sideshake.wear.place_typed import Expected, Slip, expected, slip_in
from sideshake.wear.place_usual import PlaceKind
from sideshake.wear.watch_places import WatchPlace
from sideshake.web.base.typed import with_points
from sideshake.web.measuring.place_rows import PLUS_MINUS, written
from sideshake.web.models import Measurement

MOST_ODD = Decimal("0.1")
"""A ± larger than this share of the size that was meant is off by as much as the size."""
NUMBER = re.compile(r"\d+\.?\d*|\.\d+")
HINT = gettext_lazy("0,921 0,924 0,922 gives mean and ±")


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldKind:
    """A field: which size it holds, and what it is called."""

    size: str
    words: object


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldGroup:
    """Fields that are read one after the other with one instrument."""

    name: str
    words: object
    kinds: tuple[FieldKind, ...]
    measured: str
    """What is measured, by which the instruments are found."""


def kind(size: str, words: object) -> FieldKind:
    """Return a field."""
    return FieldKind(size=size, words=words)


GROUPS = (
    FieldGroup(
        name="hole",
        words=gettext_lazy("Hole"),
        measured=HOLE,
        kinds=(
            kind("hole_mm", gettext_lazy("Diameter, if it is round")),
            kind("hole_long_mm", gettext_lazy("Oval: the long way")),
            kind("hole_short_mm", gettext_lazy("Oval: the short way")),
        ),
    ),
    FieldGroup(
        name="pivot",
        words=gettext_lazy("Pivot"),
        measured=PIVOT,
        kinds=(kind("pivot_mm", gettext_lazy("Diameter of the pivot")),),
    ),
    FieldGroup(
        name="play",
        words=gettext_lazy("Side play"),
        measured=PLAY,
        kinds=(kind("play_mm", gettext_lazy("From touching one side to the other")),),
    ),
    FieldGroup(
        name="endshake",
        words=gettext_lazy("Endshake"),
        measured=ENDSHAKE,
        kinds=(kind("endshake_mm", gettext_lazy("Endshake of the arbor")),),
    ),
    FieldGroup(
        name="room",
        words=gettext_lazy("Distances"),
        measured=SPAN,
        kinds=(
            kind("span_mm", gettext_lazy("Between the middles of its two bearings")),
            kind("thickness_mm", gettext_lazy("Thickness of plate or bridge here")),
            kind("room_mm", gettext_lazy("Widest jewel or bush the metal allows")),
        ),
    ),
)
NOT_AT_BARREL = ("play_mm",)
"""The barrel's judgement reads hole and pivot, and the gaps at its rim."""
ONE_SIDED = ("endshake_mm", "span_mm")
"""Only an arbor held in two bearings has them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldShown:
    """A field as the page shows it."""

    kind: FieldKind
    key: str
    text: str
    version: int | str
    about: str
    """What is expected, in words."""
    photograph: int | None
    """The key of the photograph in which it was measured."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupShown:
    """A group as the page shows it."""

    group: FieldGroup
    fields: tuple[FieldShown, ...]
    instruments: tuple[Instrument, ...]
    instrument: str

    @property
    def is_told(self) -> bool:
        """Return whether something stands in one of its fields."""
        return any(each.text for each in self.fields)

    @property
    def told(self) -> str:
        """Return what stands in its fields, in a line."""
        return "; ".join(each.text for each in self.fields if each.text)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipAsked:
    """A size that looks wrong by a power of ten, and what is asked about it."""

    key: str
    words: str
    text: str
    slip: Slip
    about: Expected

    @property
    def question(self) -> str:
        """Return the question."""
        told = f" ({self.about.words})" if self.about.words else ""
        return _("%(what)s: %(text)s mm is %(slip)s%(told)s. Was %(meant)g mm meant?") % {
            "what": self.words,
            "text": self.text,
            "slip": self.slip.words,
            "told": told,
            "meant": self.slip.meant_mm,
        }

    @property
    def mended(self) -> str:
        """Return what was typed with the point where it was meant."""
        return scaled(self.text, self.slip.times)


def keys_of(place: WatchPlace) -> dict[str, str]:
    """Return the keys of a place's sizes by the size, in the order of the hand."""
    kinds = [each.size for group in GROUPS for each in group.kinds]
    if not place.is_barrel:
        wanted = [each for each in kinds if place.side or each not in ONE_SIDED]
        return {each: f"{place.table}.{each}" for each in wanted}
    own = place.table in ("lid", "floor")
    apart = {
        "endshake_mm": "barrel.barrel_endshake_mm" if own else "barrel.endshake_mm",
        "span_mm": "barrel.span_mm",
    }
    wanted = [each for each in kinds if each not in NOT_AT_BARREL]
    if own:
        wanted.remove("span_mm")
    return {each: apart.get(each, f"{place.table}.{each}") for each in wanted}


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledIn:
    """A place with what is stored of it by key, and what was just typed.

    `normal` is the play of a sound one, where a measured pivot tells it better than the place does.
    """

    place: WatchPlace
    rows: Mapping[str, Measurement]
    sent: Mapping[str, str]
    normal: NormalPlay | None = None


def groups_shown(filled: FilledIn) -> Iterator[GroupShown]:
    """Yield the groups of a place with what is stored or was just typed."""
    keys = keys_of(filled.place)
    for group in GROUPS:
        if filled.place.kind is PlaceKind.ROTOR_BALLS and group.name in ("hole", "pivot"):
            continue
        kinds = [each for each in group.kinds if each.size in keys]
        fields = tuple(field_shown(filled, each, keys[each.size]) for each in kinds)
        if not fields:
            continue
        stored = (filled.rows[each.key].instrument for each in fields if each.key in filled.rows)
        usual = next((each for each in stored if each), "")
        yield GroupShown(
            group=group,
            fields=fields,
            instruments=instruments_for(group.measured) if group.name != "room" else (),
            instrument=filled.sent.get(f"with.{group.name}", usual),
        )


def field_shown(filled: FilledIn, shown: FieldKind, key: str) -> FieldShown:
    """Return a field with what is stored or was just typed."""
    row, about = filled.rows.get(key), expected(filled.place, shown.size, filled.normal)
    return FieldShown(
        kind=shown,
        key=key,
        text=filled.sent.get(key, written(row) if row else ""),
        version=row.version if row else "",
        about=about.words if about else "",
        photograph=row.photograph_id if row else None,
    )


def typed_in(place: WatchPlace, sent: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed, by key, a size whose point was meant elsewhere mended."""
    keys = keys_of(place).values()
    typed = {key: sent[key] for key in keys if key in sent}
    if sent.get("mend") != "all":
        return typed
    asked = {each.key: each.mended for each in slips_in(place, typed)}
    return typed | asked


def instruments_in(place: WatchPlace, sent: Mapping[str, str]) -> dict[str, str]:
    """Return with what each size was read, by its key."""
    keys = keys_of(place)
    return {
        keys[each.size]: sent.get(f"with.{group.name}", "")
        for group in GROUPS
        for each in group.kinds
        if each.size in keys
    }


def slips_in(place: WatchPlace, typed: Mapping[str, str]) -> list[SlipAsked]:
    """Return the sizes that look wrong by a power of ten; what cannot be read is left out."""
    found = []
    words = {each.size: str(each.words) for group in GROUPS for each in group.kinds}
    for size, key in keys_of(place).items():
        about = expected(place, size)
        value = value_of(typed.get(key, ""))
        slip = slip_in(value, about) if value is not None else None
        if slip and about:
            text = with_points(typed[key])
            found.append(SlipAsked(key=key, words=words[size], text=text, slip=slip, about=about))
    return found


def value_of(text: str) -> float | None:
    """Return the size in what was typed; None where it cannot be read or is empty."""
    if not text.strip():
        return None
    try:
        return Measured.parse(with_points(text), "mm").value
    except InputError:
        return None


def scaled(text: str, times: float) -> str:
    """Return what was typed with every reading divided; a ± that fits the size stays.

    Examples
    --------
    >>> scaled("2.15 2.16", 10), scaled("2.15 ± 0.004", 10), scaled("215 ± 4", 1000)
    ('0.215 0.216', '0.215 ± 0.004', '0.215 ± 0.004')
    >>> scaled("2.15 +- 0.004", 10), scaled("2.15 +/- 0.004", 10)
    ('0.215 +- 0.004', '0.215 +/- 0.004')
    """
    told = next((each for each in PLUS_MINUS if each in text), PLUS_MINUS[0])
    figures, sign, doubt = text.partition(told)
    by = Decimal(repr(times))

    def divided(found: re.Match[str]) -> str:
        return f"{Decimal(found.group()) / by:f}"

    made = NUMBER.sub(divided, figures)
    first, within = NUMBER.search(made), NUMBER.search(doubt)
    off = first and within and Decimal(within.group()) > MOST_ODD * Decimal(first.group())
    return f"{made}{sign}{NUMBER.sub(divided, doubt) if off else doubt}"
