"""What is said of one bearing: the verdict, its figures, what cannot be told, what to measure."""

from dataclasses import dataclass

from sideshake.core.quantities import Measured
from sideshake.wear.barrel_size import SizeSource
from sideshake.wear.bearing import WORN_RATIO
from sideshake.wear.instruments import instruments_for
from sideshake.wear.place_judged import (
    ArborLean,
    EndshakeSeen,
    MovementJudged,
    PlaceJudged,
    PlaceStage,
    is_too_steep,
)
from sideshake.wear.place_sizes import HOLE, PIVOT, PLAY, PlaceSizes
from sideshake.wear.rubbing import chance_words
from sideshake.wear.verdict import EVEN, UNLIKELY

SURE = 0.95
"""A bearing is called worn when that is at least this likely."""
CLEARLY = 2.0
"""A hole or pivot counts as worn by itself where it is off by twice its standard uncertainty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextSize:
    """The one measurement that tells most: which, with what, and what it would tell."""

    size: str
    words: str


def place_sentence(judged: PlaceJudged) -> str:
    """Return the verdict on a bearing and its reason, in a sentence."""
    words = judged.place.words
    if judged.stage is PlaceStage.OPEN:
        return f"{head(words)}: nothing is measured here."
    if judged.stage is PlaceStage.MEASURE:
        return f"{head(words)}: no verdict yet. {next_size(judged).words}"
    return f"{head(words)}: {stage_words(judged)}. {head(play_words(judged))}; " + (
        f"{chance_sentence(judged)}."
    )


def stage_words(judged: PlaceJudged) -> str:
    """Return what to do; one is only called worn where that is sure."""
    sure = judged.danger >= SURE or judged.stage is not PlaceStage.WORN
    return str(judged.stage) if sure else f"probably {judged.stage}"


def head(words: str) -> str:
    """Return words with a large first letter, the rest as they are."""
    return words[:1].upper() + words[1:]


def play_words(judged: PlaceJudged) -> str:
    """Return the play and what is normal."""
    normal = judged.normal
    sound = f"a sound one has {normal.low_mm:.3f} to {normal.high_mm:.3f}"
    if judged.play is not None:
        return f"play {judged.play.text()} mm, {sound}"
    low, high = judged.play_mm or (0.0, 0.0)
    return (
        f"play {low:.3f} to {high:.3f} mm as far as can be told without measuring the "
        f"{missing(judged.sizes)}, {sound}"
    )


def missing(sizes: PlaceSizes) -> str:
    """Return which of hole and pivot was not measured."""
    return PIVOT if sizes.hole_measured else HOLE


def chance_sentence(judged: PlaceJudged) -> str:
    """Return how probably it is worn beyond its limit, and by what limit."""
    rubs = [each for each in judged.rotor if each.rub_probability >= (judged.beyond or 0.0)]
    if rubs and rubs[0].rub_probability >= UNLIKELY:
        found = rubs[0]
        return (
            f"at its rim the rotor lifts {found.lift_mm.text()} mm towards the {found.towards}, "
            f"and rubs there with a probability of {chance_words(found.rub_probability)}"
        )
    return (
        f"that it is beyond {WORN_RATIO:g} times that ({judged.limit_mm:.3f} mm) has a probability "
        f"of {chance_words(judged.beyond or 0.0)}"
    )


def place_details(judged: PlaceJudged) -> list[str]:
    """Return what else the figures tell: oval, endshake, a play that contradicts, the rotor."""
    told = [oval_sentence(judged)]
    if judged.contradiction and judged.sizes.felt_mm:
        told.append(
            f"The play that was read, {judged.sizes.felt_mm.text()} mm, and hole minus pivot "
            "cannot both be right: measure one of them again."
        )
    if judged.endshake:
        told.append(endshake_sentence(judged.endshake))
    told += [
        f"At its rim the rotor lifts {each.lift_mm.text()} mm towards the {each.towards}, of "
        f"{each.gap_mm.text()} mm free; it rubs with a probability of "
        f"{chance_words(each.rub_probability)}."
        for each in judged.rotor
    ]
    return [each for each in told if each]


def oval_sentence(judged: PlaceJudged) -> str:
    """Return whether the hole is oval; empty where it was measured one way only."""
    if judged.oval is None or judged.oval_chance is None:
        return ""
    if judged.is_oval:
        return f"The hole is oval by {judged.oval.text()} mm."
    return (
        f"Long and short way differ by {judged.oval.text()} mm; that this is an oval and no "
        f"scatter of the readings has a probability of {chance_words(judged.oval_chance)}."
    )


def endshake_sentence(seen: EndshakeSeen) -> str:
    """Return an endshake against what is usual."""
    usual = f"{seen.usual.low_mm:.3f} to {seen.usual.high_mm:.3f} ({seen.usual.source})"
    told = f"Endshake {seen.value.text()} mm; usual is {usual}"
    for chance, way in ((seen.too_large, "more"), (seen.too_small, "less")):
        if chance >= EVEN:
            return f"{told}: it is {way} with a probability of {chance_words(chance)}."
    return f"{told}."


def lean_sentence(found: ArborLean) -> str:
    """Return how far an arbor can lean in its bearings."""
    rim = f", its wheel's rim moves {found.lean.rim_move_mm.text()} mm" if found.rim_known else ""
    return (
        f"{head(found.words)}: it leans up to {found.lean.angle_deg.text()}° either way in its two "
        f"bearings{rim}."
    )


def not_told(judged: PlaceJudged, whole: MovementJudged) -> list[str]:
    """Return what cannot be told of a bearing, and why."""
    if judged.stage is PlaceStage.OPEN:
        return []
    told = []
    sizes = judged.sizes
    if judged.oval is None and not sizes.felt_counts:
        told.append("Whether the hole is oval: it was not measured the long and the short way.")
    if judged.endshake is None and judged.place.endshake:
        told.append("Whether the endshake is right: it was not measured.")
    if judged.place.side and not any(each.arbor == judged.place.arbor for each in whole.leans):
        told.append(f"How far the arbor leans: {lean_lacks(judged, whole)}.")
    return told


def lean_lacks(judged: PlaceJudged, whole: MovementJudged) -> str:
    """Return why the lean of an arbor is not told."""
    pair = [each for each in whole.places if each.place.arbor == judged.place.arbor]
    if is_too_steep(*pair):
        return "with these plays over this distance it would be more than 10°, so one is wrong"
    lacks = [f"the play {each.place.side}" for each in pair if each.play is None]
    if not any(each.sizes.span_mm for each in pair):
        lacks.append("the distance of its two bearings")
    return f"{' and '.join(lacks)} {'was' if len(lacks) == 1 else 'were'} not measured"


def next_size(judged: PlaceJudged) -> NextSize:
    """Return the one measurement that tells most of a bearing."""
    sizes = judged.sizes
    if judged.stage is PlaceStage.OPEN:
        words = "Measure the hole and the pivot, or read the side play by itself."
        return NextSize(size=HOLE, words=words)
    if not sizes.both_measured and not sizes.felt_counts:
        return to_measure(sizes, missing(sizes))
    return to_repeat(judged)


def to_measure(sizes: PlaceSizes, size: str) -> NextSize:
    """Return that a size is to be measured, with what, and how well the play is known then."""
    partner = sizes.pivot if size == HOLE else sizes.hole
    instrument = instruments_for(size)[0]
    known = Measured(0.0, (instrument.u_mm**2 + partner.value.u**2) ** 0.5)
    said = f"Measure the {size}"
    if partner.source is not SizeSource.MEASURED:
        return NextSize(size=size, words=f"{said}.")
    return NextSize(
        size=size,
        words=f"{said}: with {instrument.name} the play is then known to "
        f"± {known.expanded:.3f} mm.",
    )


def to_repeat(judged: PlaceJudged) -> NextSize:
    """Return which measurement makes most of the doubt, and how little were left without it."""
    sizes = judged.sizes
    if sizes.felt_counts and sizes.felt_mm:
        return NextSize(
            size=PLAY,
            words=f"The play was read by itself, to ± {sizes.felt_mm.expanded:.3f} mm: only "
            "reading it again makes it surer.",
        )
    hole, pivot = sizes.hole.value.u, sizes.pivot.value.u
    size, other = (HOLE, pivot) if hole >= pivot else (PIVOT, hole)
    share = max(hole, pivot) ** 2 / (hole**2 + pivot**2) if hole or pivot else 0.0
    return NextSize(
        size=size,
        words=f"The {size} makes {share:.0%} of the doubt; were it known exactly, the play would "
        f"be known to ± {2 * other:.3f} mm.".replace("%", " %"),
    )


def worn_part(judged: PlaceJudged) -> str:
    """Return what is worn, as far as that is shown: the hole, the pivot, or the bearing.

    A hole shows it by an oval, or by being larger than the sheet's; a pivot by being thinner.
    """
    sizes = judged.sizes
    if judged.is_oval and not sizes.felt_counts:
        return HOLE
    grown = off_by(sizes.hole.value, judged.place.hole_mm) if sizes.hole_measured else 0.0
    thinned = -off_by(sizes.pivot.value, judged.place.pivot_mm) if sizes.pivot_measured else 0.0
    if max(grown, thinned) < CLEARLY or (grown >= CLEARLY and thinned >= CLEARLY):
        return "bearing"
    return HOLE if grown > thinned else PIVOT


def off_by(value: Measured, sheet: Measured | None) -> float:
    """Return how far a size is larger than the sheet's, in standard uncertainties of both."""
    if sheet is None:
        return 0.0
    u = (value.u**2 + sheet.u**2) ** 0.5
    return (value.value - sheet.value) / u if u else 0.0


def worn_title(judged: PlaceJudged) -> str:
    """Return the finding in the workshop's words, such as "Worn hole: third wheel, above"."""
    return f"Worn {worn_part(judged)}: {judged.place.words}"
