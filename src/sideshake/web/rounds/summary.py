"""What a round says: sentences, rows, likely causes, the heavy spot, full wind against 24 h."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from sideshake.analysis.rounds import RoundRead, RoundSaid, after_a_day, say_of_round
from sideshake.core.quantities import Measured
from sideshake.timing.isochronism import Isochronism
from sideshake.timing.positions.summary import HeardRound, InPosition, summary
from sideshake.timing.positions.words import headline
from sideshake.timing.repeatability import USUAL, laid_again
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.models import Reading, Round, Wound
from sideshake.web.readings.heard_rows import HEARD, LIVE
from sideshake.web.readings.kept_figures import round_read
from sideshake.web.rounds.services import RoundPlace, places_of

WINDS = (str(Wound.FULL), str(Wound.DAY))


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A position in the table: its words, its last reading whatever became of it, its figures."""

    words: str
    reading: Reading | None
    figures: InPosition | None
    in_plan: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Winds:
    """This round against the one in the other state of wind, or why they cannot be compared."""

    other: Round
    said: Isochronism | None
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Says:
    """All that is said of a round."""

    said: RoundSaid
    basis: str
    rows: tuple[Row, ...]
    open: int
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
        headline=headline(summary(laid_again(round_read(own, found.wound).heard))),
        open=sum(place.reading is None for place in places_of(found, own)),
        listening=any(each.state == LIVE for each in own),
    )


def says(found: Round, others: Sequence[Round] = ()) -> Says:
    """Return all that a round says; `others` are the visit's rounds, with their readings."""
    readings = list(found.readings.all())
    sheet = sheet_named(found.visit.watch.calibre)
    places = places_of(found, readings)
    other = other_wind(found, others)
    said = say_of_round(
        round_read(readings, found.wound), sheet=sheet, other=read_of(other) if other else None
    )
    return Says(
        said=said,
        basis=basis_words(said.heard),
        rows=tuple(rows(places, readings, said.heard)),
        open=sum(place.reading is None for place in places),
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
    said, reason = after_a_day(
        read_of(full), read_of(day), sheet=sheet_named(found.visit.watch.calibre)
    )
    return Winds(other=other, said=said, reason=reason)


def read_of(found: Round) -> RoundRead:
    """Return the readings of a round that were heard."""
    return round_read(found.readings.all(), found.wound)
