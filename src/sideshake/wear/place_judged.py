"""One bearing of a watch judged: its play, whether it is oval, and how probably it is worn.

Play, probability and limit are those of the barrel's judgement (`bearing`, `verdict`); the barrel
itself is judged there alone. Of a bearing whose hole nobody measured there is no verdict.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from sideshake.core.quantities import Measured, probability_below
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.winding import RotorLift, rotor_lifts
from sideshake.wear.arbor_pose import leaning
from sideshake.wear.barrel import STEEPEST, Barrel, BearingPair
from sideshake.wear.barrel_size import SizeSource
from sideshake.wear.bearing import (
    SUSPECT_RATIO,
    WORN_RATIO,
    Bearing,
    Hole,
    NormalPlay,
    normal_play,
    ovality,
    probability_worn,
    side_shake,
)
from sideshake.wear.draws import Lean, lean
from sideshake.wear.place_sizes import USUAL_U_MM, PlaceLines, PlaceSizes, place_sizes
from sideshake.wear.place_usual import PlaceKind
from sideshake.wear.tilt import most_free_direction
from sideshake.wear.verdict import UNLIKELY, Action, left_or_watched
from sideshake.wear.watch_places import WatchPlace, watch_places

DRAWS, SEED = 20_000, 20_261_130
"""Of what nobody measured: a probability to 0.004 at one half."""
LEAN_DRAWS = 5_000
OVAL_REAL = 0.99
"""An oval is told as real from this probability on, as in a photograph."""
NO_RADIUS = Measured(1.0)
"""Where no wheel's radius is known only the angle is told."""


class PlaceStage(StrEnum):
    """What to do about a bearing."""

    OPEN = "not measured"
    MEASURE = "measure first"
    LEAVE = "leave it"
    WATCH = "watch it"
    WORN = "worn"


@dataclass(frozen=True, slots=True, kw_only=True)
class EndshakeSeen:
    """An endshake against what is usual, and how probably it lies beyond either end."""

    value: Measured
    usual: NormalPlay
    too_large: float
    too_small: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceJudged:
    """One bearing judged.

    Parameters
    ----------
    play : None as long as hole or pivot was not measured and the play was not read by itself
    play_mm : the range that holds the play in 95 of 100 draws, where it is not known
    beyond : the probability that it is worn beyond `WORN_RATIO` times its normal play; None where
        nothing was measured
    oval, oval_chance : None where the hole was measured one way only; the probability that so much
        is no scatter of two readings
    rotor : how far the rim lifts towards its neighbours, of a rotor whose sheet tells that
    """

    sizes: PlaceSizes
    stage: PlaceStage
    normal: NormalPlay
    play: Measured | None = None
    play_mm: tuple[float, float] | None = None
    beyond: float | None = None
    oval: Measured | None = None
    oval_chance: float | None = None
    endshake: EndshakeSeen | None = None
    rotor: tuple[RotorLift, ...] = ()

    @property
    def place(self) -> WatchPlace:
        """Return which bearing it is."""
        return self.sizes.place

    @property
    def limit_mm(self) -> float:
        """Return the play beyond which it is worn."""
        return WORN_RATIO * self.normal.high_mm

    @property
    def danger(self) -> float:
        """Return the probability that it is worn beyond its limit, or that its rotor rubs."""
        return max(self.beyond or 0.0, *(each.rub_probability for each in self.rotor), 0.0)

    @property
    def is_oval(self) -> bool:
        """Return whether an oval is told as real."""
        return self.oval_chance is not None and self.oval_chance >= OVAL_REAL

    @property
    def contradiction(self) -> bool:
        """Return whether the play that was read and hole minus pivot cannot both be right."""
        felt = self.sizes.felt_mm
        if felt is None or not self.sizes.both_measured:
            return False
        other = side_shake(self.sizes.as_measured())
        return abs(felt.value - other.value) > 2 * math.hypot(felt.u, other.u)


@dataclass(frozen=True, slots=True, kw_only=True)
class ArborLean:
    """How far an arbor can lean in its two bearings, and its wheel's rim move, if that is known."""

    arbor: str
    words: str
    lean: Lean
    rim_known: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MovementJudged:
    """All places of a movement but the barrel's, judged as far as they were measured."""

    places: tuple[PlaceJudged, ...]
    leans: tuple[ArborLean, ...]

    def at(self, name: str) -> PlaceJudged:
        """Return the judgement of a place by its name; `KeyError` where there is none."""
        return {each.place.name: each for each in self.places}[name]


def movement_judged(
    sheet: CalibreSheet | None, found: Mapping[str, PlaceLines], *, u_mm: float = USUAL_U_MM
) -> MovementJudged:
    """Return the judgement of every bearing of a movement but the barrel's.

    Parameters
    ----------
    sheet : without one, what is usual is expected
    found : what was measured, by the place's name
    u_mm : standard uncertainty of a length that carries none

    Raises
    ------
    InputError : sizes contradict each other; the place is named
    """
    places = [each for each in watch_places(sheet) if not each.is_barrel]
    judged = tuple(
        place_judged(place_sizes(each, found.get(each.name, PlaceLines()), u_mm=u_mm), sheet)
        for each in places
    )
    return MovementJudged(places=judged, leans=arbor_leans(judged))


def place_judged(sizes: PlaceSizes, sheet: CalibreSheet | None = None) -> PlaceJudged:
    """Return the judgement of one bearing.

    Where hole and pivot were measured, or the play by itself, the probability is that of the
    normal distribution (GUM eq. 10). Where one of both was not, it is drawn, because unmeasured
    wear is one-sided (JCGM 101).

    Examples
    --------
    >>> from sideshake.wear.watch_places import place_named
    >>> third = place_named(None, "third.above")
    >>> lines = PlaceLines(hole_mm="0.250+-0.006", pivot_mm="0.200+-0.004")
    >>> found = place_judged(place_sizes(third, lines))
    >>> str(found.stage), found.play.text()
    ('worn', '0.050 ± 0.007')
    """
    if sizes.is_empty:
        return PlaceJudged(sizes=sizes, stage=PlaceStage.OPEN, normal=sizes.place.normal_play)
    bearing = sizes.bearing
    normal = sizes.place.normal or normal_play(bearing)
    known = sizes.both_measured or sizes.felt_counts
    play = side_shake(bearing) if known else None
    lifts = lifts_of(sizes, sheet, play)
    plays = None if known else drawn_plays(sizes)
    chances = chances_known(bearing) if plays is None else chances_drawn(plays, normal)
    danger = max(chances[0], *(each.rub_probability for each in lifts), 0.0)
    return PlaceJudged(
        sizes=sizes,
        stage=stage_of(sizes, danger, chances[1]),
        normal=normal,
        play=play,
        play_mm=None if plays is None else drawn_range(plays),
        beyond=chances[0],
        oval=ovality(bearing.hole) if sizes.lines.hole_short_mm else None,
        oval_chance=oval_chance(sizes.as_measured().hole),
        endshake=endshake_seen(sizes),
        rotor=lifts,
    )


def stage_of(sizes: PlaceSizes, danger: float, suspect: float) -> PlaceStage:
    """Return what to do; a hole that nobody measured is neither left nor cut.

    Where only the pivot is missing, what even its unknown wear cannot change is told if the sheet
    has its size; one that follows from its hole alone tells nothing of the play.
    """
    if not sizes.felt_counts and not sizes.hole_measured:
        return PlaceStage.MEASURE
    if not sizes.felt_counts and not sizes.pivot_measured:
        guessed = sizes.pivot.source is SizeSource.ASSUMED
        if guessed or UNLIKELY <= danger <= 1 - UNLIKELY:
            return PlaceStage.MEASURE
    spared = left_or_watched(danger, suspect)
    if spared is None:
        return PlaceStage.WORN
    return PlaceStage.WATCH if spared is Action.WATCH else PlaceStage.LEAVE


def chances_known(bearing: Bearing) -> tuple[float, float]:
    """Return the probability that a measured bearing is worn beyond its limit, and suspect."""
    return (probability_worn(bearing, WORN_RATIO), probability_worn(bearing, SUSPECT_RATIO))


def chances_drawn(plays: NDArray[np.float64], normal: NormalPlay) -> tuple[float, float]:
    """Return the same from draws of the play, where hole or pivot was not measured."""
    worn, suspect = (
        float(np.mean(plays > ratio * normal.high_mm)) for ratio in (WORN_RATIO, SUSPECT_RATIO)
    )
    return (worn, suspect)


def drawn_plays(sizes: PlaceSizes) -> NDArray[np.float64]:
    """Return draws of the play; a hole is never smaller than its pivot."""
    random = np.random.default_rng(SEED)
    hole, pivot = sizes.hole.drawn(DRAWS, random), sizes.pivot.drawn(DRAWS, random)
    return np.maximum(hole - pivot, 0.0)


def drawn_range(plays: NDArray[np.float64]) -> tuple[float, float]:
    """Return the range that holds 95 of 100 draws of the play."""
    low, high = np.quantile(plays, [0.025, 0.975])
    return (float(low), float(high))


def oval_chance(hole: Hole) -> float | None:
    """Return the probability that an oval is real, and no scatter of two readings.

    Of a round hole the reading called long exceeds the other by as much or more with twice the
    normal distribution's tail, because the longer of both is called so. The rest is the chance.

    Examples
    --------
    >>> round(oval_chance(Hole(long_mm=Measured(1.02, 0.003), short_mm=Measured(1.01, 0.004))), 3)
    0.954
    """
    if hole.short_mm is None:
        return None
    found = ovality(hole)
    if found.u == 0:
        return float(found.value > 0)
    return math.erf(found.value / found.u / math.sqrt(2.0))


def endshake_seen(sizes: PlaceSizes) -> EndshakeSeen | None:
    """Return the endshake against what is usual; None where either is not known."""
    value, usual = sizes.endshake_mm, sizes.place.endshake
    if value is None or usual is None:
        return None
    return EndshakeSeen(
        value=value,
        usual=usual,
        too_large=1 - probability_below(value, usual.high_mm),
        too_small=probability_below(value, usual.low_mm),
    )


def lifts_of(
    sizes: PlaceSizes, sheet: CalibreSheet | None, play: Measured | None
) -> tuple[RotorLift, ...]:
    """Return how far a rotor's rim lifts; nothing of other places, or where the sheet lacks it."""
    rotor = sizes.place.kind in (PlaceKind.ROTOR_POST, PlaceKind.ROTOR_BALLS)
    work = sheet.automatic if sheet else None
    if not rotor or play is None or sheet is None or work is None:
        return ()
    needed = (work.bearing_span_mm, work.rim_radius_mm)
    if None in needed or not (work.gap_case_back_mm or work.gap_bridge_mm):
        return ()
    return rotor_lifts(sheet, play_mm=play)


def arbor_leans(judged: tuple[PlaceJudged, ...]) -> tuple[ArborLean, ...]:
    """Return how far each arbor can lean whose two plays and whose span are known."""
    arbors = dict.fromkeys(each.place.arbor for each in judged)
    pairs = ([each for each in judged if each.place.arbor == arbor] for arbor in arbors)
    found = (arbor_lean(*pair) for pair in pairs if len(pair) == 2)
    return tuple(each for each in found if each)


def arbor_lean(above: PlaceJudged, below: PlaceJudged) -> ArborLean | None:
    """Return how far an arbor leans, by the geometry of the barrel's lean.

    Each hole counts as bell-mouthed: tan(angle) = (C1 + C2) / (2 s), C the plays and s the span.
    """
    span = above.sizes.span_mm or below.sizes.span_mm
    if above.play is None or below.play is None or span is None:
        return None
    if is_too_steep(above, below):
        return None
    pair = BearingPair(lower=bell(below.sizes), upper=bell(above.sizes), span_mm=span)
    arbor = Barrel(arbor=pair, endshake_mm=Measured(0.0), gaps=())
    rim = above.place.rim_radius_mm
    found = lean(arbor, leaning(most_free_direction(arbor)), rim or NO_RADIUS, draws=LEAN_DRAWS)
    words = above.place.words.rpartition(", ")[0]
    return ArborLean(arbor=above.place.arbor, words=words, lean=found, rim_known=rim is not None)


def is_too_steep(above: PlaceJudged, below: PlaceJudged) -> bool:
    """Return whether the plays and the span would make a lean that no arbor has: a wrong size."""
    span = above.sizes.span_mm or below.sizes.span_mm
    if above.play is None or below.play is None or span is None:
        return False
    return (above.play.value + below.play.value) / (2 * span.value) > STEEPEST


def bell(sizes: PlaceSizes) -> Bearing:
    """Return a bearing whose pivot is held in the middle of its hole alone."""
    found = sizes.bearing
    return Bearing(hole=found.hole, pivot_mm=found.pivot_mm, bell_mouthed=True)


def worn_places(judged: MovementJudged) -> tuple[PlaceJudged, ...]:
    """Return the bearings that are worn, the surest first."""
    worn = [each for each in judged.places if each.stage is PlaceStage.WORN]
    return tuple(sorted(worn, key=lambda each: -(each.beyond or 0.0)))
