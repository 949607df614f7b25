"""The going train in exact fractions: speeds, beats an hour, and what comes round how often."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from sideshake.core.errors import InputError, Lacking
from sideshake.core.quantities import COVERAGE_FACTOR, Measured
from sideshake.movement.kinds import friction_clutch
from sideshake.movement.sheet import Arbor, CalibreSheet, Train, meaning

ESCAPE = "escape"
SECONDS_PER_HOUR = 3600
SECONDS_PER_MINUTE = 60
BEATS_PER_TOOTH = 2
"""A lever escapement lets one tooth of the escape wheel pass in two beats."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """A wheel and the pinion it drives."""

    driver: Arbor
    driven: Arbor

    @property
    def wheel_or_none(self) -> int | None:
        """Return the teeth of the driving wheel; None where the sheet lacks them."""
        return self.driven.driver_wheel or self.driver.wheel

    @property
    def wheel(self) -> int:
        """Return the teeth of the driving wheel."""
        if self.driven.driver_wheel is not None:
            return self.driven.driver_wheel
        return teeth_of(self.driver, "wheel", f"the mesh with {self.driven.name}")

    @property
    def pinion(self) -> int:
        """Return the leaves of the driven pinion."""
        return teeth_of(self.driven, "pinion", f"the mesh with {self.driver.name}")

    @property
    def ratio(self) -> Fraction:
        """Return how many times the pinion turns for one turn of the wheel."""
        return Fraction(self.wheel, self.pinion)

    @property
    def name(self) -> str:
        """Return the mesh in words."""
        second = "'s second" if self.driven.driver_wheel is not None else ""
        return f"{self.driver.name}{second} wheel and {self.driven.name} pinion"


@dataclass(frozen=True, slots=True, kw_only=True)
class Turning:
    """An arbor and how fast it turns."""

    arbor: Arbor
    turns_per_hour: Fraction

    @property
    def period_s(self) -> Fraction:
        """Return the seconds of one turn."""
        return SECONDS_PER_HOUR / self.turns_per_hour


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """Something in the movement that comes round again, and what a fault in it looks like."""

    what: str
    seconds: Fraction
    beats: Fraction
    fault: str


def teeth_of(arbor: Arbor, part: str, purpose: str) -> int:
    """Return the teeth of an arbor's wheel or the leaves of its pinion, or say they lack."""
    count: int | None = getattr(arbor, part)
    if count is None:
        raise Lacking(f"the {arbor.name} arbor has no {part}, which {purpose} needs")
    return count


def train_of(sheet: CalibreSheet) -> Train:
    """Return the sheet's train, with the barrel's teeth from whichever line gives them.

    Raises
    ------
    InputError : no train, or two lines that contradict each other
    """
    train: Train = sheet.needed("train", "the train's speeds")
    if not train.arbors:
        raise Lacking(
            f"the sheet of {sheet.name} has no line train.arbors ({meaning('train.arbors')})"
        )
    first = train.arbors[0]
    teeth = sheet.barrel.teeth if sheet.barrel else None
    if None not in (teeth, first.wheel) and teeth != first.wheel:
        raise InputError(
            f"barrel.teeth says {teeth} but train.arbors.0 ({first.name}) says {first.wheel}"
        )
    whole = first.model_copy(update={"wheel": first.wheel or teeth})
    return train.model_copy(update={"arbors": (whole, *train.arbors[1:])})


def meshes(train: Train) -> tuple[Mesh, ...]:
    """Return every wheel with the pinion it drives, barrel first.

    Raises
    ------
    InputError : two arbors of one name, or an arbor driven by one that stands nowhere before it
    """
    known: dict[str, Arbor] = {}
    found = []
    for place, arbor in enumerate(train.arbors):
        if arbor.name in known:
            raise InputError(f"two arbors are named {arbor.name!r}; each name must be its own")
        if place:
            driver = arbor.driven_by or train.arbors[place - 1].name
            if driver not in known:
                raise InputError(
                    f"{arbor.name} is driven by {driver!r}, but no arbor before it is named so"
                )
            found.append(Mesh(driver=known[driver], driven=arbor))
        known[arbor.name] = arbor
    return tuple(found)


def speeds(train: Train) -> tuple[Turning, ...]:
    """Return how fast every arbor turns, from the one whose speed is known.

    Returns
    -------
    one `Turning` for each arbor, in the train's order, exact

    Raises
    ------
    InputError : no known speed, or a wheel or pinion in between lacks

    References
    ----------
    n = 2 Ze (Zc Z3 Z4)/(p3 p4 pe): any textbook; Learned (1897), pp. 39 ff.
    """
    relative = {train.arbors[0].name: Fraction(1)}
    for mesh in meshes(train):
        relative[mesh.driven.name] = relative[mesh.driver.name] * mesh.ratio
    name, per_hour = reference_of(train)
    unit = per_hour / relative[name]
    return tuple(
        Turning(arbor=arbor, turns_per_hour=unit * relative[arbor.name]) for arbor in train.arbors
    )


def reference_of(train: Train) -> tuple[str, Fraction]:
    """Return the arbor whose speed is known and its turns an hour."""
    names = [arbor.name for arbor in train.arbors]
    if train.reference is None or train.reference_turns_per_hour is None:
        raise Lacking(
            "the train needs train.reference (an arbor whose speed is known) "
            "and train.reference_turns_per_hour"
        )
    if train.reference not in names:
        raise InputError(
            f"train.reference says {train.reference!r}, but the arbors are {', '.join(names)}"
        )
    return train.reference, fraction_of(train.reference_turns_per_hour)


def fraction_of(written: str) -> Fraction:
    """Return the speed written as "1", "1/12" or "0.125"; it must be above 0."""
    try:
        speed = Fraction(written)
    except (ValueError, ZeroDivisionError):
        raise InputError(f'turns an hour look like "1" or "1/12", got {written!r}') from None
    if speed <= 0:
        raise InputError(f"turns an hour must be above 0, got {written!r}")
    return speed


def turning(train: Train, name: str) -> Turning:
    """Return how fast the arbor of that name turns."""
    found = [each for each in speeds(train) if each.arbor.name == name]
    if not found:
        names = ", ".join(arbor.name for arbor in train.arbors)
        raise InputError(f"no arbor is named {name!r}; there are {names}")
    return found[0]


def escape_arbor(train: Train) -> Arbor:
    """Return the arbor of the escape wheel.

    Raises
    ------
    InputError : the train does not reach an escape wheel
    """
    found = [arbor for arbor in train.arbors if arbor.name == ESCAPE]
    if not found:
        raise InputError(
            f"the train does not reach the escape wheel: it ends at {train.arbors[-1].name!r} "
            f"and no arbor is named {ESCAPE!r}"
        )
    return found[0]


def escape_teeth(sheet: CalibreSheet) -> int | None:
    """Return the teeth of the escape wheel; None where the sheet does not tell.

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> escape_teeth(shipped_sheet("tarnbrook-31"))
    15
    """
    arbors = sheet.train.arbors if sheet.train else ()
    return next((each.wheel for each in arbors if each.name == ESCAPE), None)


def beats_per_hour(train: Train) -> Fraction:
    """Return the beats an hour the train makes, exact.

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> beats_per_hour(train_of(shipped_sheet("tarnbrook-31")))
    Fraction(18000, 1)
    """
    teeth = teeth_of(escape_arbor(train), "wheel", "the number of beats")
    return BEATS_PER_TOOTH * teeth * turning(train, ESCAPE).turns_per_hour


def agreed_beats(sheet: CalibreSheet) -> Fraction:
    """Return the beats an hour, from the train and the sheet alike.

    Raises
    ------
    InputError : the train makes another number of beats than the sheet says
    """
    made = beats_per_hour(train_of(sheet))
    if sheet.beats_per_hour is not None and made != sheet.beats_per_hour:
        raise InputError(
            f"the train makes {float(made):g} beats an hour, "
            f"but beats_per_hour says {sheet.beats_per_hour}"
        )
    return made


def periods(train: Train) -> tuple[Period, ...]:
    """Return everything that comes round again, shortest first, in seconds and in beats.

    Raises
    ------
    InputError : as `beats_per_hour`

    References
    ----------
    Kleinlein (1920): note the intervals of a fault to find its wheel and pinion
    """
    per_second = beats_per_hour(train) / SECONDS_PER_HOUR
    turns = {each.arbor.name: each.period_s for each in speeds(train)}
    parts = [*arbor_periods(train, turns), *mesh_periods(train, turns)]
    swing = "balance, one swing to and fro; one escape tooth"
    parts.append((swing, 2 / per_second, "tick and tock differ"))
    return in_order(parts, per_second)


def periods_of(sheet: CalibreSheet) -> tuple[Period, ...]:
    """Return the periods of the train and of what it drives: motion work, date, chronograph."""
    train = train_of(sheet)
    per_second = agreed_beats(sheet) / SECONDS_PER_HOUR
    return tuple(
        sorted(
            (*periods(train), *in_order(driven_periods(sheet), per_second)),
            key=lambda each: each.seconds,
        )
    )


def in_order(
    parts: Iterable[tuple[str, Fraction, str]], beats_per_second: Fraction
) -> tuple[Period, ...]:
    """Return the periods, shortest first, with their beats."""
    found = (
        Period(what=what, seconds=seconds, beats=seconds * beats_per_second, fault=fault)
        for what, seconds, fault in parts
    )
    return tuple(sorted(found, key=lambda each: each.seconds))


def driven_periods(sheet: CalibreSheet) -> Iterable[tuple[str, Fraction, str]]:
    """Yield what comes round in the works that the train drives beside itself."""
    work = sheet.motion_work
    if work and work.minute_wheel and work.cannon_pinion:
        turn = Fraction(SECONDS_PER_HOUR * work.minute_wheel, work.cannon_pinion)
        yield "minute wheel of the motion work, one turn", turn, "wave or dip"
    chronograph = sheet.chronograph
    if chronograph:
        yield (
            "chronograph seconds wheel, one turn; it drives the minute counter",
            Fraction(SECONDS_PER_MINUTE),
            "dip, only while the chronograph runs",
        )
    if chronograph and chronograph.wheel_teeth and not friction_clutch(sheet):
        yield (
            "chronograph seconds wheel, one tooth",
            Fraction(SECONDS_PER_MINUTE, chronograph.wheel_teeth),
            "ripple, only while the chronograph runs",
        )
    if sheet.calendar and sheet.calendar.drive_turn_h:
        hours = Fraction(sheet.calendar.drive_turn_h.value).limit_denominator(1000)
        yield "date driving wheel, one turn", hours * SECONDS_PER_HOUR, "long dip"


def arbor_periods(train: Train, turns: dict[str, Fraction]) -> Iterable[tuple[str, Fraction, str]]:
    """Yield what repeats once a turn of each arbor, and how that fault looks."""
    for arbor in train.arbors:
        carried = f" with the {arbor.carries}" if arbor.carries else ""
        yield (
            f"{arbor.name}, one turn{carried}",
            turns[arbor.name],
            "wave or dip",
        )


def mesh_periods(train: Train, turns: dict[str, Fraction]) -> Iterable[tuple[str, Fraction, str]]:
    """Yield what repeats with every tooth of a mesh, and with the same tooth on the same leaf."""
    for mesh in meshes(train):
        tooth = turns[mesh.driver.name] / mesh.wheel
        yield f"{mesh.name}, one tooth", tooth, "ripple"
        contacts = lcm(mesh.wheel, mesh.pinion)
        if contacts > mesh.wheel:  # else it is the wheel's own turn
            yield f"{mesh.name}, same tooth on same leaf", tooth * contacts, "rare dip"


def suspects(found: Iterable[Period], heard: Measured) -> tuple[Period, ...]:
    """Return every period that agrees with the one heard, in seconds.

    All of them: in many trains two parts come round equally often and cannot be told apart.
    """
    require_heard(heard)
    reach = COVERAGE_FACTOR * heard.u
    return tuple(each for each in found if abs(each.seconds - heard.value) <= reach)


def require_heard(heard: Measured) -> None:
    """Refuse a heard period that is not above 0 s, or that carries no uncertainty."""
    if heard.value <= 0 or heard.u <= 0:
        raise InputError(
            f"a heard period is above 0 s and carries its uncertainty, got {heard.text()}"
        )


def telling_time_s(one: Period, other: Period) -> Fraction:
    """Return how long to record, at least, to tell two periods apart: 1/|1/P1 - 1/P2|, seconds."""
    if one.seconds == other.seconds:
        raise InputError(
            f"{one.what} and {other.what} have the same period; no time tells them apart"
        )
    return abs(1 / (1 / one.seconds - 1 / other.seconds))
