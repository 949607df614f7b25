"""Every bearing of a movement as it is seen at a glance, the barrel's among the others.

The barrel's four bearings are told from the barrel's own verdict; nothing of them is judged anew.
"""

from dataclasses import dataclass

from sideshake.core.quantities import Measured
from sideshake.wear.barrel import Barrel
from sideshake.wear.barrel_size import unmeasured
from sideshake.wear.bearing import SUSPECT_RATIO, Bearing, normal_play, ovality, side_shake
from sideshake.wear.outlook import LOWER, OWN, UPPER, chance_worn
from sideshake.wear.place_judged import OVAL_REAL, PlaceJudged, PlaceStage, oval_chance
from sideshake.wear.place_words import head, place_sentence
from sideshake.wear.verdict import Action, Verdict, left_or_watched
from sideshake.wear.watch_places import WatchPlace

ENDS = {
    "barrel.above": UPPER,
    "barrel.below": LOWER,
    "barrel.lid": f"{OWN}upper ",
    "barrel.floor": f"{OWN}lower ",
}
"""The names of the barrel's bearings in its values."""
NOTHING_HERE = "nothing is measured here."


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingSeen:
    """A bearing at a glance.

    Parameters
    ----------
    times : its play over the largest that is normal; None where the play is not known
    danger : the probability that it is worn beyond its limit; None where nothing was measured
    oval : by how much its hole is oval, where that is real
    """

    place: WatchPlace
    stage: PlaceStage
    sentence: str
    play: Measured | None = None
    times: float | None = None
    danger: float | None = None
    oval: Measured | None = None


def bearing_seen(judged: PlaceJudged) -> BearingSeen:
    """Return a bearing beside the barrel at a glance."""
    return BearingSeen(
        place=judged.place,
        stage=judged.stage,
        sentence=place_sentence(judged),
        play=judged.play,
        times=judged.play.value / judged.normal.high_mm if judged.play else None,
        danger=None if judged.stage is PlaceStage.OPEN else judged.danger,
        oval=judged.oval if judged.is_oval else None,
    )


def barrel_bearing_seen(
    place: WatchPlace, barrel: Barrel | None, verdict: Verdict | None
) -> BearingSeen:
    """Return one of the barrel's bearings at a glance, from the barrel's verdict.

    Without a verdict nothing is told of it.
    """
    bearing = bearing_of(place, barrel)
    if barrel is None or verdict is None or bearing is None:
        return BearingSeen(place=place, stage=PlaceStage.OPEN, sentence=nothing(place))
    end = ENDS[place.name]
    missing = {f"{end}hole", f"{end}pivot"} & set(unmeasured(barrel.known))
    if len(missing) == 2:
        return BearingSeen(place=place, stage=PlaceStage.OPEN, sentence=nothing(place))
    worn = chance_worn(barrel, end, bearing)
    play = None if missing else side_shake(bearing)
    chance = oval_chance(bearing.hole)
    oval = ovality(bearing.hole) if chance is not None and chance >= OVAL_REAL else None
    return BearingSeen(
        place=place,
        stage=barrel_stage(place, verdict, worn, chance_worn(barrel, end, bearing, SUSPECT_RATIO)),
        sentence=verdict.sentence,
        play=play,
        times=play.value / normal_play(bearing).high_mm if play else None,
        danger=worn,
        oval=oval,
    )


def nothing(place: WatchPlace) -> str:
    """Return that nothing is measured at a place."""
    return f"{head(place.words)}: {NOTHING_HERE}"


def bearing_of(place: WatchPlace, barrel: Barrel | None) -> Bearing | None:
    """Return one of the barrel's bearings; None where the barrel has none there."""
    if barrel is None:
        return None
    inner = barrel.inner
    return {
        "barrel.above": barrel.arbor.upper,
        "barrel.below": barrel.arbor.lower,
        "barrel.lid": inner.upper if inner else None,
        "barrel.floor": inner.lower if inner else None,
    }[place.name]


def barrel_stage(place: WatchPlace, verdict: Verdict, worn: float, suspect: float) -> PlaceStage:
    """Return what the barrel's verdict asks for at one of its bearings."""
    if place.side in verdict.places:
        return PlaceStage.WORN
    if verdict.action is Action.MEASURE:
        return PlaceStage.MEASURE
    spared = left_or_watched(worn, suspect)
    if spared is None:
        return PlaceStage.WORN
    return PlaceStage.WATCH if spared is Action.WATCH else PlaceStage.LEAVE
