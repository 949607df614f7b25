"""Likely causes behind a round of readings, in the order of the bench, each with its evidence.

A cause is named only when its evidence is at least 95 % likely to lie beyond the limit. What must
be right before the next can be judged comes first: knocking and magnetism spoil every rate, power
and beat come before positions, dial up against dial down before hanging, poise after all of these
(common practice; trade-facts 4.2.13).
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from sideshake.core.quantities import Measured
from sideshake.movement.kinds import free_sprung
from sideshake.movement.sheet import CalibreSheet
from sideshake.timing.diagnosis import evidence
from sideshake.timing.diagnosis.evidence import Proofs, RoundSeen
from sideshake.timing.positions.harmonic import Harmonic
from sideshake.timing.positions.summary import HeardRound, Position
from sideshake.timing.repeatability import USUAL, Repeatability, laid_again
from sideshake.timing.tolerance import ToleranceOutcome

KLEINLEIN = "Kleinlein, Rules and Practice for Adjusting Watches (1920)"
WITHOUT_PINS = "The spring: its end curve, where it is pinned, its coils round and free."
"""What to look at where the balance is free-sprung (common practice, no source)."""
MOST_BY_PINS_S_PER_DAY = 20.0
"""Where Kleinlein's range for the pins ends (trade-facts 4.3.3)."""
BLIND_DEG = (210.0, 230.0)
"""About 219.5° a poise error shows nothing: first zero of J1 (trade-facts 4.2.5, derived)."""


class CauseKind(StrEnum):
    """What is wrong; the value is its name in records and JSON."""

    KNOCKING = "knocking"
    FAST = "fast everywhere"
    POWER = "too little power"
    BEAT = "out of beat"
    DIAL = "dial up against dial down"
    LYING = "swings too little lying"
    HANGING = "swings too little hanging"
    PINS = "hanging against lying"
    POISE = "one hanging position off"
    CHRONOGRAPH = "chronograph drags"


@dataclass(frozen=True, slots=True, kw_only=True)
class LikelyCause:
    """A likely cause: what is seen, the figures, what to check first, where the rule is from.

    `excess` : how far beyond its limit the strongest figure is, as a share of the limit
    """

    kind: CauseKind
    sentence: str
    evidence: Proofs
    check_first: str
    source: str
    excess: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StandsOut:
    """What stands out in a round.

    `near` : figures too near their limit to tell; `not_asked` : what could not be asked, for the
    positions were not heard; `caution` : why positional work should wait, else ""
    """

    sentence: str
    caution: str
    causes: tuple[LikelyCause, ...]
    near: Proofs
    not_asked: tuple[CauseKind, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CauseRule:
    """One question to a round: its figures, and the words when one is beyond its limit."""

    kind: CauseKind
    proofs: Callable[[RoundSeen], Proofs]
    says: Callable[[RoundSeen], str]
    check_first: str
    source: str


def stands_out(
    heard: HeardRound, sheet: CalibreSheet | None = None, *, again: Repeatability = USUAL
) -> StandsOut:
    """Return what stands out in a round, with the limits of the calibre sheet where it has them.

    `again` : what each laying of the watch adds to the uncertainty of rate and amplitude
    """
    seen = evidence.seen(laid_again(heard, again), sheet)
    proofs = {rule.kind: rule.proofs(seen) for rule in RULES}
    causes = tuple(
        cause_of(rule, seen, far) for rule in RULES if (far := beyond(proofs[rule.kind]))
    )
    return StandsOut(
        sentence=first_words(seen, causes),
        caution=caution(seen),
        causes=causes,
        near=tuple(
            each
            for group in proofs.values()
            for each in group
            if each.outcome is ToleranceOutcome.NEAR
        ),
        not_asked=tuple(kind for kind, group in proofs.items() if not group),
    )


def causes(
    heard: HeardRound, sheet: CalibreSheet | None = None, *, again: Repeatability = USUAL
) -> tuple[LikelyCause, ...]:
    """Return the likely causes alone, the first to look at first; empty when nothing stands out."""
    return stands_out(heard, sheet, again=again).causes


def beyond(proofs: Proofs) -> Proofs:
    """Return the figures that are surely beyond their limit."""
    return tuple(each for each in proofs if each.outcome is ToleranceOutcome.BEYOND)


def cause_of(rule: CauseRule, seen: RoundSeen, far: Proofs) -> LikelyCause:
    """Return the cause a rule names."""
    return LikelyCause(
        kind=rule.kind,
        sentence=rule.says(seen),
        evidence=far,
        check_first=WITHOUT_PINS
        if rule.kind is CauseKind.PINS and free_sprung(seen.sheet)
        else rule.check_first,
        source=rule.source,
        excess=max(each.excess for each in far),
    )


def first_words(seen: RoundSeen, causes: tuple[LikelyCause, ...]) -> str:
    """Return the round's sentence: the first cause, or that nothing stands out."""
    heard = [each.value for each in seen.heard.latest()]
    if not heard:
        return "Nothing was heard with the chronograph off."
    if causes:
        more = f" {len(causes) - 1} more below." if len(causes) > 1 else ""
        return causes[0].sentence + more
    return f"Nothing stands out in the positions heard ({', '.join(heard)})."


def caution(seen: RoundSeen) -> str:
    """Return why positional work should wait, or an empty text."""
    wanted = evidence.worth_starting(seen)
    short = beyond(wanted)
    if short:
        figures = "; ".join(each.figure for each in short)
        return f"Positional work is not worth starting yet: {figures}. Win amplitude first."
    near = [each.figure for each in wanted if each.outcome is ToleranceOutcome.NEAR]
    return f"Near what positional work wants: {'; '.join(near)}." if near else ""


def say_knocking(seen: RoundSeen) -> str:
    """Return that the balance swings too far."""
    where = evidence.knocking(seen)[0].what.removeprefix("amplitude in ")
    return (
        f"It swings so far in {where} that the impulse pin probably knocks on the outside of the "
        "fork; the rates then mean little."
    )


def say_power(seen: RoundSeen) -> str:
    """Return that power is lost, and for which state of wind that is said."""
    if seen.heard.wound == "24h":
        return "After 24 h too little power reaches the balance."
    unsure = "" if seen.heard.wound else " (if it was fully wound, which is not noted)"
    return f"Lying it swings too little: power is lost before the balance{unsure}."


def say_dial(seen: RoundSeen) -> str:
    """Return which way it differs, and on which pivot the balance then stands."""
    swing = seen.said.dial_up_minus_down_deg
    words = "Dial up and dial down differ: a pivot end, its cap jewel, dirt or oil."
    if swing is None or swing.holds(0.0):
        return words
    up, down = "dial up, on the pivot in the balance cock", "dial down, on the pivot in the plate"
    return f"{words} The swing is smaller {down if swing.value > 0 else up}."


def say_pins(seen: RoundSeen) -> str:
    """Return whether it gains or loses by hanging."""
    (proof,) = evidence.pins(seen)
    if free_sprung(seen.sheet):
        way = "gains" if proof.value.value > 0 else "loses"
        return (
            f"It {way} by hanging; this balance is free-sprung, so there are no pins: the first "
            "suspicion is the spring's end curve and where it is pinned."
        )
    does, hint = (
        ("gains", "pins closed tight or the spring resting on one of them")
        if proof.value.value > 0
        else ("loses", "pins too far apart")
    )
    twice = abs(proof.value.value) > MOST_BY_PINS_S_PER_DAY
    more = " That is more than pins alone usually make." if twice else ""
    return f"It {does} by hanging; the first suspicion is {hint}.{more}"


def say_poise(seen: RoundSeen) -> str:
    """Return which hanging position stands off, and whether poise can show at that amplitude."""
    odd, wave = evidence.odd_one(seen), evidence.turning(seen)
    assert odd is not None  # the rule has figures
    assert wave is not None
    turns = evidence.poise(seen)[0].outcome is ToleranceOutcome.BEYOND and wave.is_all
    said = say_turning(wave) if turns else say_odd_one(*odd)
    swing = seen.said.hanging_deg
    if swing is not None and BLIND_DEG[0] < swing.value < BLIND_DEG[1]:
        said += " Yet near 220° a poise error hardly shows: look at spring and pivots too."
    return said


def say_odd_one(position: Position, off: Measured) -> str:
    """Return which single hanging position stands off."""
    does = "gains against" if off.value > 0 else "loses against"
    return (
        f"In {position}, {position.words}, it {does} the other hanging positions by more than the "
        "spring's nature: the balance may be out of poise."
    )


def say_turning(wave: Harmonic) -> str:
    """Return by how much the rate turns with the watch, and which way up it is fastest."""
    return (
        f"Hanging, its rate turns with the watch by {wave.size_s_per_day.text()} s a day about the "
        f"mean, fastest with the dial's {clock_time(wave.fastest_up_deg.value)} up: more than the "
        "spring's nature, so the balance may be out of poise."
    )


def clock_time(dial_deg: float) -> str:
    """Return a clock direction as a place of the hour hand, to the half hour.

    Examples
    --------
    >>> clock_time(0.0), clock_time(44.0), clock_time(350.0)
    ("12 o'clock", '1:30', '11:30')
    """
    halves = round(dial_deg / 15) % 24
    hour = (halves // 2 - 1) % 12 + 1
    return f"{hour}:30" if halves % 2 else f"{hour} o'clock"


def say_chronograph(seen: RoundSeen) -> str:
    """Return whether the chronograph takes too much, or too little is there to take."""
    if any(each.at_most is not None for each in beyond(evidence.chronograph(seen))):
        return (
            "The chronograph takes too much power from the balance; a sound lateral coupling takes "
            "10 to 30°, a vertical clutch less than 10°."
        )
    return "With the chronograph on it swings too little hanging to be relied on."


RULES = (
    CauseRule(
        kind=CauseKind.KNOCKING, proofs=evidence.knocking, says=say_knocking,
        check_first="Read again less wound. If it is so when fully wound: the mainspring too "
        "strong, an automatic's bridle that holds too long, oil too thin.",
        source="secondary trade pages",
    ),
    CauseRule(
        kind=CauseKind.FAST, proofs=evidence.fast_everywhere,
        says=lambda _: "It gains very much in every position: magnetism, coils that stick, or oil "
        "on the coils.",
        check_first="Hold a compass by the running balance and demagnetise; then look at the "
        "coils.",
        source="secondary trade pages",
    ),
    CauseRule(
        kind=CauseKind.POWER, proofs=evidence.power, says=say_power,
        check_first="Mainspring, barrel and its bearings, train freedom and oil, before anything "
        "at the balance.",
        source="secondary trade pages; common practice",
    ),
    CauseRule(
        kind=CauseKind.BEAT, proofs=evidence.out_of_beat,
        says=lambda _: "It is out of beat enough to deserve setting; old pocket watches often "
        "are, by 1 to 3 ms.",
        check_first="Turn the collet, or the movable stud, until the impulse pin rests on the "
        "line of centres.",
        source="secondary trade pages; most do not say whether they mean half the difference",
    ),
    CauseRule(
        kind=CauseKind.DIAL, proofs=evidence.dial_up_against_down, says=say_dial,
        check_first="Look at both pivot ends and cap jewels under magnification, clean, oil anew.",
        source="secondary trade page, railroad grade",
    ),
    CauseRule(
        kind=CauseKind.LYING, proofs=evidence.falls_too_little,
        says=lambda _: "Lying it swings hardly further than hanging, where pivot friction should "
        "cost more: something drags when it lies.",
        check_first="Pivot ends flattened or pitted, cap jewels, endshake of the balance, the "
        "spring touching arm or cock.",
        source="derived from pivot friction; common practice",
    ),
    CauseRule(
        kind=CauseKind.HANGING, proofs=evidence.falls_too_much,
        says=lambda _: "Hanging it swings much less than lying; 45° less is normal and cannot be "
        "taken away.",
        check_first="Balance pivots and their holes: dirt, dry oil, scored or bent pivots, too "
        "much side shake; then the pallet arbor.",
        source=f"{KLEINLEIN} for the 45°; secondary trade page for the limit",
    ),
    CauseRule(
        kind=CauseKind.PINS, proofs=evidence.pins, says=say_pins,
        check_first="Regulator pins: the gap very small, the spring free in its middle.",
        source=KLEINLEIN,
    ),
    CauseRule(
        kind=CauseKind.POISE, proofs=evidence.poise, says=say_poise,
        check_first="Spring flat, true and centred, pivots good, dial up and down alike; only "
        "then poise, with readings on both sides of 220°: a poise error changes its sign there.",
        source=f"{KLEINLEIN} for the natural error; common practice for the order",
    ),
    CauseRule(
        kind=CauseKind.CHRONOGRAPH, proofs=evidence.chronograph, says=say_chronograph,
        check_first="The base movement alone first; then depth of the coupling, friction spring "
        "of the chronograph wheel, minute-counter jumper and finger.",
        source="one maker's instruction and secondary trade pages",
    ),
)  # fmt: skip
