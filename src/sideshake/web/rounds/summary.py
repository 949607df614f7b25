"""What a round says: sentences, rows, likely causes, the heavy spot, full wind against 24 h."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.movement.energy import stiffness
from sideshake.movement.sheet import CalibreSheet
from sideshake.timing.balance.known import KnownOfBalance, known_from
from sideshake.timing.diagnosis.causes import StandsOut, stands_out
from sideshake.timing.diagnosis.evidence import chronograph, seen
from sideshake.timing.isochronism import Isochronism, isochronism
from sideshake.timing.poise.heavy_spot import Hanging, Poise, find_poise, unbalance_ug_cm
from sideshake.timing.poise.of_round import hanging_of
from sideshake.timing.poise.two_amplitudes import TwoAmplitudes, compare_amplitudes
from sideshake.timing.poise.words import (
    CAUTIONS,
    CHECK_FIRST,
    say_poise,
    say_unbalance,
    where_to_take_weight,
)
from sideshake.timing.positions.summary import HeardRound, InPosition, summary
from sideshake.timing.positions.words import headline, say_round
from sideshake.timing.repeatability import USUAL, laid_again
from sideshake.timing.tolerance import ToleranceCheck
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.models import Reading, Round, Wound
from sideshake.web.readings.heard_rows import HEARD, LIVE
from sideshake.web.rounds.figures import clocks_of, heard_round
from sideshake.web.rounds.services import RoundPlace, places_of

Answer = TypeVar("Answer")
WINDS = (str(Wound.FULL), str(Wound.DAY))


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A position in the table: its words, its last reading whatever became of it, its figures."""

    words: str
    reading: Reading | None
    figures: InPosition | None
    in_plan: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class HeavySpot:
    """The heavy spot and what to do about it, or why there is none to be told."""

    poise: Poise | None
    sentence: str
    unbalance: str
    reason: str
    turned: TwoAmplitudes | None
    turned_reason: str

    @property
    def where(self) -> tuple[str, ...]:
        """Return where to take weight, a sentence for each step."""
        return where_to_take_weight(self.poise) if self.poise else ()

    @property
    def check_first(self) -> tuple[str, ...]:
        """Return what comes before poising."""
        return CHECK_FIRST

    @property
    def cautions(self) -> tuple[str, ...]:
        """Return what to mind when weight is taken."""
        return CAUTIONS


@dataclass(frozen=True, slots=True, kw_only=True)
class Winds:
    """This round against the one in the other state of wind, or why they cannot be compared."""

    other: Round
    said: Isochronism | None
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Says:
    """All that is said of a round."""

    heard: HeardRound
    sentences: tuple[str, ...]
    basis: str
    rows: tuple[Row, ...]
    open: int
    chronograph: tuple[ToleranceCheck, ...]
    stands_out: StandsOut | None
    spot: HeavySpot
    winds: Winds | None
    ears: str
    """Says so if not all of this was heard by one ear."""
    compared: tuple[Round, Round] | None
    """The round before the work and the one after it, in the same wind; one of them is this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedRound:
    """A round as a line of the visit page."""

    round: Round
    headline: str
    open: int
    listening: bool


def listed(found: Round, readings: Sequence[Reading]) -> ListedRound:
    """Return a round as a line, from the visit's readings; nothing is asked of the database."""
    own = [each for each in readings if each.round_id == found.pk]
    return ListedRound(
        round=found,
        headline=headline(summary(laid_again(heard_round(own, found.wound)))),
        open=sum(place.reading is None for place in places_of(found, own)),
        listening=any(each.state == LIVE for each in own),
    )


def says(found: Round, others: Sequence[Round] = ()) -> Says:
    """Return all that a round says; `others` are the visit's rounds, with their readings."""
    readings = list(found.readings.all())
    heard = heard_round(readings, found.wound)
    sheet = sheet_named(found.visit.watch.calibre)
    places = places_of(found, readings)
    other = other_wind(found, others)
    known = seen(laid_again(heard), sheet)
    return Says(
        heard=heard,
        sentences=say_round(known.said),
        basis=basis_words(heard),
        rows=tuple(rows(places, readings, heard)),
        open=sum(place.reading is None for place in places),
        chronograph=chronograph(known),
        stands_out=stands_out(heard, sheet) if heard.latest() else None,
        spot=heavy_spot(heard, other, sheet),
        winds=against_other_wind(found, other) if other else None,
        ears=ears_in([*readings, *(other.readings.all() if other else ())]),
        compared=before_and_after(found, others),
    )


def ears_in(readings: Sequence[Reading]) -> str:
    """Say so if readings that are held against each other were heard by several ears."""
    ears = sorted({each.ear for each in readings if each.state == HEARD})
    if len(ears) < 2:
        return ""
    return _(
        "Not all of this was heard by the same ear (%(ears)s): hear it again to compare it."
    ) % {"ears": ", ".join(map(str, ears))}


def basis_words(heard: HeardRound) -> str:
    """Return what the ± of the table leaves out; empty when nothing was heard."""
    if not heard.readings:
        return ""
    said = _(
        "Here ± tells how well this laying was heard. Laid the same way again, a watch comes back "
        "within about %(rate)s s a day and %(swing)s° (common practice); the sentences and the "
        "picture allow for that."
    ) % {"rate": within(USUAL.rate_s_per_day), "swing": within(USUAL.amplitude_deg)}
    return f"{said} {clock_words(heard)}".strip()


def clock_words(heard: HeardRound) -> str:
    """Return what the sound clock adds to all rates alike; empty when it adds nothing."""
    share = heard.clock_u_s_per_day
    if not share:
        return ""
    return _(
        "The rates are without the sound clock's share, which moves all of them alike within "
        "%(share)s s a day; the means have it."
    ) % {"share": within(share)}


def within(u: float) -> str:
    """Return the 95 % interval of a standard uncertainty, such as "± 0.8"."""
    return f"± {Measured(0.0, u).text().partition('± ')[2]}"


def rows(places: list[RoundPlace], readings: list[Reading], heard: HeardRound) -> list[Row]:
    """Return the table: the positions of the plan in turn, then readings in others."""
    last = {(each.position, each.chronograph_on): each for each in readings}
    planned = [
        Row(
            words=place.words,
            reading=place.reading or last.get((place.position, place.chronograph_on)),
            figures=figures_of(heard, place.position, on=place.chronograph_on),
        )
        for place in places
    ]
    known = {(place.position, place.chronograph_on) for place in places}
    more = [
        Row(
            words=RoundPlace(position=position, chronograph_on=on, reading=None).words,
            reading=reading,
            figures=figures_of(heard, position, on=on),
            in_plan=False,
        )
        for (position, on), reading in last.items()
        if (position, on) not in known
    ]
    return planned + more


def figures_of(heard: HeardRound, position: str, *, on: bool) -> InPosition | None:
    """Return the reading that counts in a position; None where there is none."""
    return {str(p): each for p, each in heard.latest(chronograph_on=on).items()}.get(position)


def other_wind(found: Round, others: Sequence[Round]) -> Round | None:
    """Return the visit's last round in the other state of wind, also before or after the work."""
    if found.wound not in WINDS:
        return None
    (wanted,) = (wind for wind in WINDS if wind != found.wound)
    return last_of([o for o in others if o.wound == wanted and o.after == found.after], least=1)


def before_and_after(found: Round, others: Sequence[Round]) -> tuple[Round, Round] | None:
    """Return this round with the visit's last one on the other side of the work, in order.

    Two rounds are compared as rounds once each has two readings.
    """
    alike = [o for o in others if o.wound == found.wound and o.after != found.after]
    other = last_of(alike, least=2)
    if other is None or last_of([found], least=2) is None:
        return None
    return (other, found) if found.after else (found, other)


def last_of(rounds: Sequence[Round], *, least: int) -> Round | None:
    """Return the last of the rounds in which at least so many readings were heard."""
    heard = [r for r in rounds if sum(each.state == HEARD for each in r.readings.all()) >= least]
    return heard[-1] if heard else None


def against_other_wind(found: Round, other: Round) -> Winds:
    """Return what 24 hours do to rate and amplitude."""
    full, day = (found, other) if found.wound == Wound.FULL else (other, found)
    both = [*full.readings.all(), *day.readings.all()]
    said, reason = tried(
        lambda: isochronism(
            heard_round(full.readings.all(), full.wound),
            heard_round(day.readings.all(), day.wound),
            sheet=sheet_named(found.visit.watch.calibre),
            same_clock=len(clocks_of(both)) == 1,
        )
    )
    return Winds(other=other, said=said, reason=reason)


def heavy_spot(heard: HeardRound, other: Round | None, sheet: CalibreSheet | None) -> HeavySpot:
    """Return the heavy spot of a round, and the proof at the other amplitude where there is one."""
    hanging, reason = tried(lambda: hanging_of(heard))
    poise: Poise | None = None
    turned: TwoAmplitudes | None = None
    turned_reason = ""
    if hanging is not None:
        poise, reason = tried(lambda: find_poise(hanging))
        if other is not None:
            turned, turned_reason = tried(lambda: at_both(hanging, other))
    return HeavySpot(
        poise=poise,
        sentence=say_poise(poise) if poise else "",
        unbalance=unbalance_words(poise, sheet) if poise and sheet else "",
        reason=reason,
        turned=turned,
        turned_reason=turned_reason,
    )


def unbalance_words(poise: Poise, sheet: CalibreSheet) -> str:
    """Return how heavy the spot is, where the sheet knows the balance; else nothing."""
    known = KnownOfBalance(**known_from(sheet))
    if known.inertia_mg_cm2 is None or known.beats_per_hour is None:
        return ""
    spring = stiffness(known.inertia_mg_cm2, known.beats_per_hour)
    return say_unbalance(unbalance_ug_cm(poise, stiffness_nm=spring))


def at_both(hanging: Hanging, other: Round) -> TwoAmplitudes:
    """Return what the two amplitudes of two states of wind tell apart."""
    return compare_amplitudes(hanging, hanging_of(heard_round(other.readings.all(), other.wound)))


def tried(ask: Callable[[], Answer]) -> tuple[Answer | None, str]:
    """Return an answer, or why there is none, as a sentence."""
    try:
        return ask(), ""
    except (InputError, NotEnough) as fault:
        return None, fault.sentence
