"""How a barrel stands, and what wore its holes, in plain sentences."""

from dataclasses import dataclass

from sideshake.wear.barrel import bell_mouthed
from sideshake.wear.bearing import HoleRun
from sideshake.wear.cause import HoleCause, cause_of
from sideshake.wear.draws import DRAWS, Lean, lean
from sideshake.wear.measurements import Bench
from sideshake.wear.rubbing import Rubbing, chance_words, rubbing
from sideshake.wear.verdict import Action, BearingPlace, Verdict, bearing_at
from sideshake.wear.worst import OPTION_DRAWS, free_rubbing, worst_rubbing


@dataclass(frozen=True, slots=True, kw_only=True)
class PoseSeen:
    """One stance as it is told: its name, the lean, and what is left of each gap."""

    name: str
    lean: Lean
    gaps: tuple[Rubbing, ...]


def stances_seen(lying: Bench, judged: Verdict) -> tuple[PoseSeen, ...]:
    """Return every stance with its lean and gaps; the free one is each part's own worst."""
    case = lying.case
    named = (
        ("as far as it can", judged.free.stance, None),
        ("under way", case.running, case.running),
        ("winding", case.winding, case.winding),
    )
    return tuple(
        PoseSeen(
            name=name,
            lean=lean(case.barrel, stance, lying.rim_radius_mm),
            gaps=tuple(
                rubbing(case.barrel, for_all, gap)
                if for_all
                else free_rubbing(case.barrel, gap, DRAWS)
                for gap in case.barrel.gaps
            ),
        )
        for name, stance, for_all in named
        if stance
    )


def bore_sentences(lying: Bench, judged: Verdict) -> list[str]:
    """Return what the arbor's holes were taken for; where there is no verdict, only that."""
    if judged.action is Action.MEASURE:
        return [bore_words(lying)]
    return [bore_sentence(lying, judged)]


def bore_sentence(lying: Bench, judged: Verdict) -> str:
    """Return what the arbor's holes were taken for, and what the other bound would make of it."""
    barrel, said = lying.case.barrel, bore_words(lying)
    if all(bearing_at(barrel, place).bore is not HoleRun.CYLINDER for place in BearingPlace):
        return said
    other = bell_mouthed(barrel)
    wide = lean(other, judged.free.stance, lying.rim_radius_mm, draws=OPTION_DRAWS)
    free, *loaded = (
        f"{chance_words(worst_rubbing(other, stance, OPTION_DRAWS).probability)}{when}"
        for stance, when in (
            (None, ""),
            (lying.case.running, " under way"),
            (lying.case.winding, " while it is wound"),
        )
        if stance or not when
    )
    under_loads = f" ({', '.join(loaded)})" if loaded else ""
    return (
        f"{said} With mouths worn wide the barrel would lean {wide.angle_deg.text()} degrees and "
        f"rub with a probability of {free}{under_loads}: measure the mouths inside and outside to "
        "know."
    )


def bore_words(lying: Bench) -> str:
    """Return what the arbor's holes were taken for."""
    bores = {place: bearing_at(lying.case.barrel, place).bore for place in BearingPlace}
    return " ".join(
        counted([place for place in BearingPlace if bores[place] is bore], *words)
        for bore, words in BORES.items()
        if bore in bores.values()
    )


BORES = {
    HoleRun.CYLINDER: (
        "counts as a cylinder",
        "count as cylinders",
        "length holds the arbor upright",
    ),
    HoleRun.MEASURED: ("counts by its mouths", "count by their mouths", "measured widths hold it"),
    HoleRun.BELL: (
        "counts as bell-mouthed",
        "count as bell-mouthed",
        "length is not known, and the middle alone holds the arbor",
    ),
}
"""What a hole may be taken for: said of one, of two, and why."""


def counted(places: list[BearingPlace], one: str, two: str, why: str) -> str:
    """Return what one or two holes were taken for, in words."""
    if len(places) == 1:
        return f"The hole {places[0]} {one}: its {why}."
    return f"The holes {' and '.join(places)} {two}: their {why}."


def stance_sentences(lying: Bench, judged: Verdict) -> list[str]:
    """Return what is left of the gap under way and while winding, or why that is not reckoned."""
    if lying.unusual:
        return [lying.unusual]
    if judged.action is Action.MEASURE:
        return []
    pairs = (
        ("Under way, held by the mesh and the click,", judged.running, judged.running_kindest),
        (f"While it is wound, by {winder_words(lying)},", judged.winding, judged.winding_kindest),
    )
    return [loaded_sentence(when, worst, best) for when, worst, best in pairs if worst and best]


def winder_words(lying: Bench) -> str:
    """Return what pushes while the watch is wound."""
    pushes = lying.case.winding.pushes if lying.case.winding else ()
    names = [f"the {each.name}" for each in pushes]
    return " and ".join(names) if len(names) > 1 else "a key, against the mesh"


def loaded_sentence(when: str, worst: Rubbing, kindest: Rubbing) -> str:
    """Return the gap left under loads: one figure, or from the worst to the kindest."""
    chance = chance_words(worst.probability)
    if not worst.stance.taken:
        return (
            f"{when} {worst.left_mm.text()} mm are left to the {worst.gap.name}; it rubs with a "
            f"probability of {chance}."
        )
    return (
        f"{when} at the worst {worst.left_mm.text()} mm are left to the {worst.gap.name} (rubs: "
        f"{chance}), at the kindest {kindest.left_mm.text()} mm. Not known, so taken over "
        f"{', '.join(worst.stance.taken)}."
    )


def hole_causes(lying: Bench) -> list[tuple[str, HoleCause]]:
    """Return what wore each hole, by the direction of its long axis."""
    pair = lying.case.barrel.arbor
    return [
        (place, cause_of(held.hole, thrusts, arbor_turns=lying.arbor_turns))
        for place, held, thrusts in (
            ("above", pair.upper, lying.thrusts_above),
            ("below", pair.lower, lying.thrusts_below),
        )
    ]


def cause_sentences(causes: list[tuple[str, HoleCause]]) -> list[str]:
    """Return what is to be said of each hole that was measured oval."""
    return [f"Hole {place}: {each.sentence}" for place, each in causes if each.ovality_mm.value]
