"""What was measured at one place of a watch, and how each of its sizes is known.

A size nobody measured is the sheet's, worn by an unknown amount, or follows from its partner and a
sound play, as with the barrel's bearings.
"""

import math
from dataclasses import dataclass, replace

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.lines import Gap as GapLine
from sideshake.movement.lines import Size, line
from sideshake.wear.assumed import SizeLines, Spot, bearing_known
from sideshake.wear.barrel_size import BarrelSize, SizeSource
from sideshake.wear.bearing import Bearing, Hole
from sideshake.wear.measurements import MeasuredBearing, Measurements, or_none, require_one_way
from sideshake.wear.place_usual import PlaceKind
from sideshake.wear.sizes import with_default, written
from sideshake.wear.watch_places import WatchPlace

USUAL_U_MM: float = Measurements.model_fields["u_mm"].default
HOLE, PIVOT, PLAY, ENDSHAKE, SPAN = "hole", "pivot", "side play", "endshake", "span"


class PlaceLines(MeasuredBearing):
    """One place as measured: hole, pivot, and what was felt or read of their play."""

    play_mm: GapLine | None = line("side play, read from touching one side to the other", 0.03)
    endshake_mm: GapLine | None = line("axial play of the arbor", "0.03+-0.01")
    span_mm: Size | None = line("distance between the middles of the arbor's two bearings", 2.40)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceSizes:
    """A place with its hole and pivot, measured or not, and the plays that were measured.

    Parameters
    ----------
    hole, pivot : how each is known
    felt_mm : the side play as it was read by itself; None where it was not
    """

    place: WatchPlace
    lines: PlaceLines
    hole: BarrelSize
    pivot: BarrelSize
    felt_mm: Measured | None
    endshake_mm: Measured | None
    span_mm: Measured | None
    u_mm: float

    @property
    def hole_measured(self) -> bool:
        """Return whether the hole was measured on this watch."""
        return bool(self.lines.hole_long_mm or self.lines.hole_mm)

    @property
    def pivot_measured(self) -> bool:
        """Return whether the pivot was."""
        return self.lines.pivot_mm is not None

    @property
    def both_measured(self) -> bool:
        """Return whether hole and pivot both were."""
        return self.hole_measured and self.pivot_measured

    @property
    def is_empty(self) -> bool:
        """Return whether nothing was measured at this place that tells of its wear."""
        told = (self.felt_mm, self.endshake_mm)
        return not (self.hole_measured or self.pivot_measured or any(told))

    @property
    def bearing(self) -> Bearing:
        """Return hole and pivot; where only the play was read, the pivot with so much room.

        Raises
        ------
        InputError : the pivot is larger than its hole by more than both can be wrong
        """
        if self.felt_counts:
            return self.with_play(self.felt_mm or Measured(0.0))
        return self.as_measured()

    def as_measured(self) -> Bearing:
        """Return hole and pivot without what was read of their play; raises as `bearing`."""
        axis = self.lines.long_axis_deg or Measured(0.0)
        return Bearing(
            hole=Hole(
                long_mm=self.hole.value,
                short_mm=or_none(self.lines.hole_short_mm, self.u_mm),
                long_axis_deg=axis.value,
                long_axis_u_deg=axis.u,
            ),
            pivot_mm=self.pivot.value,
            normal_mm=self.normal_mm,
            room_mm=self.lines.room_mm.value if self.lines.room_mm else None,
            thickness_mm=or_none(self.lines.thickness_mm, self.u_mm),
        )

    @property
    def felt_counts(self) -> bool:
        """Return whether the play read by itself counts: alone, or because it is known better."""
        if self.felt_mm is None:
            return False
        if not self.both_measured:
            return True
        return self.felt_mm.u < math.hypot(self.hole.value.u, self.pivot.value.u)

    def with_play(self, play_mm: Measured) -> Bearing:
        """Return the bearing with a round hole that leaves this play; all doubt is in the play."""
        pivot = Measured(self.pivot.value.value)
        if self.pivot.source is SizeSource.ASSUMED and not self.hole_measured:
            pivot = Measured(self.place.usual_pivot_mm)
        return Bearing(
            hole=Hole(long_mm=Measured(pivot.value + play_mm.value, play_mm.u)),
            pivot_mm=pivot,
            normal_mm=self.normal_mm,
            room_mm=self.lines.room_mm.value if self.lines.room_mm else None,
        )

    @property
    def normal_mm(self) -> tuple[float, float] | None:
        """Return the play of a sound one; None where it follows from the pivot's size."""
        normal = self.place.normal
        return (normal.low_mm, normal.high_mm) if normal else None


def place_sizes(place: WatchPlace, lines: PlaceLines, *, u_mm: float = USUAL_U_MM) -> PlaceSizes:
    """Return how the sizes of a place are known.

    Parameters
    ----------
    u_mm : standard uncertainty of a length that carries none

    Raises
    ------
    InputError : the hole is given in two ways, or the sizes contradict each other
    """
    require_sizes(place.words, lines, u_mm=u_mm)
    hole, pivot = hole_and_pivot(place, lines, u_mm)
    return PlaceSizes(
        place=place,
        lines=lines,
        hole=hole,
        pivot=pivot,
        felt_mm=or_none(lines.play_mm, u_mm),
        endshake_mm=or_none(lines.endshake_mm, u_mm),
        span_mm=or_none(lines.span_mm, u_mm),
        u_mm=u_mm,
    )


def hole_and_pivot(
    place: WatchPlace, lines: PlaceLines, u_mm: float
) -> tuple[BarrelSize, BarrelSize]:
    """Return how hole and pivot are known.

    Where one was measured that cannot be with the sheet's other, that other is not this watch's.
    A pivot that nobody measured passes through the hole's short way.
    """
    spot = Spot(name=place.name, hole=HOLE, pivot=PIVOT, jewelled=place.jewelled)
    bore = written(lines.hole_long_mm or lines.hole_mm, place.hole_mm, u_mm)
    shaft = pivot_written(place, lines, u_mm)
    hole, pivot = bearing_known(spot, hole=bore, pivot=shaft)
    if bore.measured and not shaft.measured:
        narrow = with_default(lines.hole_short_mm or bore.measured, u_mm)
        fits = shaft if shaft.sheet and shaft.sheet.value < narrow.value else SizeLines()
        return hole, bearing_known(spot, hole=replace(bore, measured=narrow), pivot=fits)[1]
    if shaft.measured and not bore.measured and hole.value.value <= pivot.value.value:
        return bearing_known(spot, hole=SizeLines(), pivot=shaft)
    return hole, pivot


def pivot_written(place: WatchPlace, lines: PlaceLines, u_mm: float) -> SizeLines:
    """Return what is written of the pivot; on a ball race the race's own size does not count."""
    if place.kind is PlaceKind.ROTOR_BALLS:
        return SizeLines(sheet=Measured(place.usual_pivot_mm))
    return written(lines.pivot_mm, place.pivot_mm, u_mm)


def require_sizes(words: str, lines: PlaceLines, *, u_mm: float = USUAL_U_MM) -> None:
    """Refuse a hole and a pivot that cannot be together; the place is named by its words.

    One that nobody measured is no contradiction: the sheet's is then not this watch's.

    Raises
    ------
    InputError : the hole is given in two ways or by half of one, or is smaller than its pivot
    """
    require_one_way(lines, words)
    bore = lines.hole_long_mm or lines.hole_mm
    if bore is None or lines.pivot_mm is None:
        return
    try:
        hole = Hole(long_mm=with_default(bore, u_mm), short_mm=or_none(lines.hole_short_mm, u_mm))
        Bearing(hole=hole, pivot_mm=with_default(lines.pivot_mm, u_mm))
    except InputError as error:
        raise InputError(f"{words}: {error}") from None
