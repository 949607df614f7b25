"""What can be computed of a balance and its spring from what is known: one answer each question.

A question is answered when all it needs is known; else it is named with what it lacks. The same
answers serve the command and the page.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import radians

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured, propagate
from sideshake.movement.balance import (
    Hairspring,
    beats_per_hour,
    inertia_rate,
    period_s,
    regulator_rate,
    shortening_mm,
    temperature_rate,
    weight_share,
)
from sideshake.movement.energy import balance_power_uw, hanging_amplitude, pivot_friction, stiffness
from sideshake.timing.balance.known import KnownOfBalance
from sideshake.timing.balance.metals import RIMS, SPRINGS, PlainRim, SpringMetal
from sideshake.timing.poise.heavy_spot import Poise, blind_deg, unbalance_ug_cm

PIVOT_FRICTION = Measured(0.125, 0.02)
"""Steel in ruby, clean or oiled: 0.15, another text 0.10 to 0.15 (trade-facts 7.5.9)."""
PER_UNM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceFigure:
    """One figure of an answer."""

    what: str
    value: Measured
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceAnswer:
    """An answer: a sentence, and its figures."""

    key: str
    title: str
    rests_on: tuple[str, ...]
    sentence: str
    figures: tuple[BalanceFigure, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """A question without an answer: what it lacks, or why there is none."""

    key: str
    title: str
    needs: tuple[str, ...]
    lacks: tuple[str, ...] = ()
    reason: str = ""

    def is_begun(self, given: frozenset[str]) -> bool:
        """Return whether something was given for it, or it was tried and has no answer."""
        return bool(self.reason) or not given.isdisjoint(self.needs)


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceQuestion:
    """A question: what it needs and may use besides, and what gives its sentence and figures."""

    key: str
    title: str
    needs: tuple[str, ...]
    answer: Callable[[KnownOfBalance], tuple[str, tuple[BalanceFigure, ...]]]
    also: tuple[str, ...] = ()


def balance_sums(known: KnownOfBalance) -> tuple[tuple[BalanceAnswer, ...], tuple[Open, ...]]:
    """Return every answer that what is known allows, and the questions still open.

    Raises
    ------
    InputError : two known values contradict each other (a spring shortened by more than it is long)
    """
    told, still_open = [], []
    for question in QUESTIONS:
        lacks = tuple(name for name in question.needs if name not in known.names)
        if lacks:
            still_open.append(left_open(question, lacks=lacks))
            continue
        try:
            sentence, figures = question.answer(known)
        except NotEnough as why:
            still_open.append(left_open(question, reason=str(why)))
            continue
        told.append(
            BalanceAnswer(
                key=question.key,
                title=question.title,
                rests_on=(*question.needs, *question.also),
                sentence=sentence,
                figures=figures,
            )
        )
    return tuple(told), tuple(still_open)


def left_open(question: BalanceQuestion, *, lacks: tuple[str, ...] = (), reason: str = "") -> Open:
    """Return a question that has no answer."""
    return Open(
        key=question.key, title=question.title, needs=question.needs, lacks=lacks, reason=reason
    )


def need(value: Measured | None) -> Measured:
    """Return a value that the question's needs say is there."""
    assert value is not None
    return value


def wanted_stiffness(known: KnownOfBalance) -> Measured:
    """Return the stiffness that makes this balance beat as it should, N·m/rad."""
    return stiffness(need(known.inertia_mg_cm2), float(known.beats_per_hour or 0))


def unm(stiffness_nm: Measured) -> Measured:
    """Return a stiffness in µN·m a radian."""
    return Measured(stiffness_nm.value / PER_UNM, stiffness_nm.u / PER_UNM)


def strength(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return how strong a hairspring this balance wants."""
    wanted = unm(wanted_stiffness(known))
    return (
        f"To beat {known.beats_per_hour} times an hour it wants a hairspring of {wanted.text()} "
        "µN·m a radian.",
        (BalanceFigure(what="strength wanted", value=wanted, unit="µN·m/rad"),),
    )


def own_spring(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return how this spring would make this balance beat, and which length would be right."""
    spring = Hairspring(
        elastic_gpa=elasticity(known),
        height_mm=need(known.height_mm),
        thickness_mm=need(known.thickness_mm),
        length_mm=need(known.length_mm),
    )
    beats = beats_per_hour(period_s(need(known.inertia_mg_cm2), spring.stiffness_nm))
    asked = float(known.beats_per_hour or 0)
    right = propagate(
        lambda found, length: length * (found / asked) ** 2, beats, need(known.length_mm)
    )
    return (
        f"The spring measured gives {unm(spring.stiffness_nm).text()} µN·m a radian; with it the "
        f"balance would beat {beats.text()} times an hour. {strong_or_weak(beats, asked, right)}",
        (
            BalanceFigure(
                what="strength of the spring", value=unm(spring.stiffness_nm), unit="µN·m/rad"
            ),
            BalanceFigure(what="beats with it", value=beats, unit="an hour"),
            BalanceFigure(what=f"length that beats {asked:g}", value=right, unit="mm"),
        ),
    )


def elasticity(known: KnownOfBalance) -> Measured:
    """Return the modulus measured, else the usual one of the spring's metal.

    Raises
    ------
    NotEnough : neither is known
    """
    if known.elastic_gpa is not None:
        return known.elastic_gpa
    if not known.spring:
        raise NotEnough("neither the spring's modulus of elasticity nor its metal is known")
    return SPRINGS[known.spring].elastic_gpa


def strong_or_weak(beats: Measured, asked: float, right_mm: Measured) -> str:
    """Return whether a spring can be the right one."""
    if beats.holds(asked):
        return f"Within its doubt that is {asked:g}: it may be the right one; counting decides."
    how = "strong" if beats.value > asked else "weak"
    return f"It is too {how} for {asked:g}: that would take a length of {right_mm.text()} mm."


def shortened(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return what a change of the active length does."""
    by = need(known.shortened_mm)
    rate = regulator_rate(by, length_mm=need(known.length_mm))
    how = "Shortened" if by.value >= 0 else "Lengthened"
    return (
        f"{how} by {magnitude(by).text()} mm it {gains(rate)} s a day.",
        (BalanceFigure(what="rate by that length", value=rate, unit="s a day"),),
    )


def index_moved(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return what moving the index does: the pins' way along the spring, and the rate."""
    turned = need(known.index_deg)
    way = propagate(
        lambda angle, radius: radians(1) * angle * radius, turned, need(known.pins_radius_mm)
    )
    rate = regulator_rate(way, length_mm=need(known.length_mm))
    towards = "fast" if turned.value >= 0 else "slow"
    return (
        f"The index moved by {magnitude(turned).text()}° towards {towards} takes the pins "
        f"{magnitude(way).text()} mm along the spring: it {gains(rate)} s a day.",
        (
            BalanceFigure(what="way of the pins", value=way, unit="mm"),
            BalanceFigure(what="rate by the index", value=rate, unit="s a day"),
        ),
    )


def for_a_rate(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return how far to move the pins for a change of rate."""
    wanted = need(known.rate_wanted_s_per_day)
    by = shortening_mm(wanted, length_mm=need(known.length_mm))
    figures = [BalanceFigure(what="shorter by", value=by, unit="mm")]
    does = "gain" if wanted.value >= 0 else "lose"
    how = "shorter" if by.value >= 0 else "longer"
    said = f"To {does} {magnitude(wanted).text()} s a day the spring must become "
    said += f"{magnitude(by).text()} mm {how}"
    if known.pins_radius_mm is not None:
        turn = propagate(lambda way, r: way / r / radians(1), by, known.pins_radius_mm)
        figures.append(BalanceFigure(what="index towards fast", value=turn, unit="°"))
        said += f": {magnitude(turn).text()}° of the index"
    return f"{said}.", tuple(figures)


def weight(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return what weight on the rim, added or taken, does to the rate."""
    added = need(known.weight_ug)
    share = weight_share(added, at_mm=need(known.at_mm), inertia_mg_cm2=need(known.inertia_mg_cm2))
    rate = inertia_rate(share)
    how = "added" if added.value >= 0 else "taken"
    percent = Measured(100 * share.value, 100 * share.u)
    return (
        f"{magnitude(added).text()} µg {how} at {need(known.at_mm).text()} mm from the staff: it "
        f"{gains(rate)} s a day.",
        (
            BalanceFigure(what="change of the inertia", value=percent, unit="%"),
            BalanceFigure(what="rate by the weight", value=rate, unit="s a day"),
        ),
    )


def temperature(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return what a degree, and the warmth asked for, does to the rate."""
    each = rate_per_c(RIMS[known.rim], SPRINGS[known.spring])
    warmer = need(known.warmer_c)
    rate = propagate(lambda by, degree: by * degree, warmer, each)
    how = "warmer" if warmer.value >= 0 else "colder"
    said = f"{magnitude(warmer).text()} °C {how} it {gains(rate)} s a day"
    if rate.holds(0.0):
        said = f"{magnitude(warmer).text()} °C {how} its rate changes by {rate.text()} s a day"
    return (
        f"With a rim of {known.rim} and a hairspring of {known.spring}, {said}.",
        (
            BalanceFigure(what="rate for one degree more", value=each, unit="s a day"),
            BalanceFigure(what="rate by that warmth", value=rate, unit="s a day"),
        ),
    )


def rate_per_c(rim: PlainRim, spring: SpringMetal) -> Measured:
    """Return the rate change for one degree more; a self-compensating spring suits its balance."""
    if spring.compensated_s_per_day is not None:
        return spring.compensated_s_per_day
    return temperature_rate(
        balance_per_c=rim.per_c, spring_per_c=spring.per_c, elastic_per_c=spring.elastic_per_c
    )


def hanging(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return the amplitude hanging that pivot friction alone leaves."""
    load = pivot_friction(
        PIVOT_FRICTION, mass_mg=need(known.mass_mg), pivot_mm=need(known.pivot_mm)
    )
    left = hanging_amplitude(
        need(known.lying_deg),
        stiffness_nm=wanted_stiffness(known),
        quality_factor=need(known.quality_factor),
        pivot_load_nm=load,
    )
    return (
        f"Swinging {need(known.lying_deg).text()}° lying, by the friction of sound pivots it "
        f"should swing {left.text()}° hanging.",
        (BalanceFigure(what="amplitude hanging", value=left, unit="°"),),
    )


def power(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return the power that the swinging balance uses."""
    used = balance_power_uw(
        need(known.lying_deg),
        float(known.beats_per_hour or 0),
        inertia_mg_cm2=need(known.inertia_mg_cm2),
        quality_factor=need(known.quality_factor),
    )
    return (
        f"Swinging {need(known.lying_deg).text()}° lying it uses {used.text()} µW.",
        (BalanceFigure(what="power used", value=used, unit="µW"),),
    )


def heavy_spot(known: KnownOfBalance) -> tuple[str, tuple[BalanceFigure, ...]]:
    """Return how heavy a spot is that makes so much.

    Raises
    ------
    NotEnough : the amplitude lies where a spot hardly shows
    """
    swing = need(known.swing_deg)
    low, high = blind_deg()
    if low < swing.value < high:
        raise NotEnough(
            f"at {swing.text()}° a heavy spot hardly shows ({low:.0f} to {high:.0f}°): read it "
            "well above or below"
        )
    spot = Poise(
        size_s_per_day=need(known.spot_s_per_day), dial_deg=Measured(0.0), amplitude_deg=swing
    )
    unbalance = unbalance_ug_cm(spot, stiffness_nm=wanted_stiffness(known))
    figures = [BalanceFigure(what="unbalance", value=unbalance, unit="µg·cm")]
    said = (
        f"A heavy spot that makes {need(known.spot_s_per_day).text()} s a day at {swing.text()}° "
    )
    said += f"is {unbalance.text()} µg·cm"
    if known.at_mm is not None:
        at_rim = propagate(lambda whole, at: 10 * whole / at, unbalance, known.at_mm)
        figures.append(BalanceFigure(what="weight there", value=at_rim, unit="µg"))
        said += f": {at_rim.text()} µg at {known.at_mm.text()} mm from the staff"
    return f"{said}.", tuple(figures)


def magnitude(value: Measured) -> Measured:
    """Return the size without the sign."""
    return Measured(abs(value.value), value.u)


def gains(rate: Measured) -> str:
    """Return "gains 12 ± 1" or "loses 12 ± 1".

    Examples
    --------
    >>> gains(Measured(-12.0, 0.5))
    'loses 12.0 ± 1.0'
    """
    return f"{'gains' if rate.value >= 0 else 'loses'} {magnitude(rate).text()}"


SWUNG = ("beats_per_hour", "inertia_mg_cm2")
QUESTIONS = (
    BalanceQuestion(key="strength", title="Strength of the hairspring it wants", needs=SWUNG,
             answer=strength),
    BalanceQuestion(key="spring", title="This hairspring on this balance", answer=own_spring,
             needs=(*SWUNG, "height_mm", "thickness_mm", "length_mm"),
             also=("elastic_gpa", "spring")),
    BalanceQuestion(key="length", title="A change of the active length", answer=shortened,
             needs=("length_mm", "shortened_mm")),
    BalanceQuestion(key="index", title="The index moved", answer=index_moved,
             needs=("length_mm", "index_deg", "pins_radius_mm")),
    BalanceQuestion(key="rate", title="A change of rate by the index", answer=for_a_rate,
             needs=("length_mm", "rate_wanted_s_per_day"), also=("pins_radius_mm",)),
    BalanceQuestion(key="weight", title="Weight on the rim", answer=weight,
             needs=("inertia_mg_cm2", "weight_ug", "at_mm")),
    BalanceQuestion(key="temperature", title="Warmer or colder", answer=temperature,
             needs=("rim", "spring", "warmer_c")),
    BalanceQuestion(key="hanging", title="Amplitude hanging", answer=hanging,
             needs=(*SWUNG, "mass_mg", "pivot_mm", "quality_factor", "lying_deg")),
    BalanceQuestion(key="power", title="Power used", answer=power,
             needs=(*SWUNG, "quality_factor", "lying_deg")),
    BalanceQuestion(key="spot", title="How heavy a spot is", answer=heavy_spot,
             needs=(*SWUNG, "spot_s_per_day", "swing_deg"), also=("at_mm",)),
)  # fmt: skip
