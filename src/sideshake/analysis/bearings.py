"""All that is said of one bearing of a movement beside the barrel's, and which were measured."""

from dataclasses import dataclass

from sideshake.wear.place_judged import MovementJudged, PlaceJudged, PlaceStage
from sideshake.wear.place_words import (
    lean_sentence,
    next_size,
    not_told,
    place_details,
    place_sentence,
)
from sideshake.workshop_rules.place_fit import new_part_sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingTold:
    """What is said of one bearing: the verdict first, then the rest.

    Parameters
    ----------
    leans : how its arbor leans in both bearings
    part : what would make it sound; empty where that cannot be told
    next : the one measurement that tells most
    not_told : what cannot be told, and why
    """

    verdict: str
    details: tuple[str, ...]
    leans: tuple[str, ...]
    part: str
    next: str
    not_told: tuple[str, ...]


def tell_bearing(judged: PlaceJudged, whole: MovementJudged) -> BearingTold:
    """Return what is said of one bearing of a movement."""
    leans = (each for each in whole.leans if each.arbor == judged.place.arbor)
    return BearingTold(
        verdict=place_sentence(judged),
        details=tuple(place_details(judged)),
        leans=tuple(lean_sentence(each) for each in leans),
        part=new_part_sentence(judged),
        next=next_size(judged).words,
        not_told=tuple(not_told(judged, whole)),
    )


def measured_places(whole: MovementJudged) -> list[PlaceJudged]:
    """Return the bearings of which something was measured, in the order of the movement."""
    return [each for each in whole.places if each.stage is not PlaceStage.OPEN]
