"""`sideshake balance`: what can be computed of a balance and its hairspring."""

from collections.abc import Mapping, Sequence

from sideshake.command.options import Json
from sideshake.command.read import measured
from sideshake.command.say import CommandAnswer, Grid, say
from sideshake.core.errors import NotEnough
from sideshake.movement.sheet_file import sheet_at
from sideshake.timing.balance.known import WORDS, KnownOfBalance, known_from
from sideshake.timing.balance.sums import BalanceAnswer, Open, balance_sums

FROM_MEMORY = (
    "From memory: metals, but for the expansion of brass and steel; friction of a pivot in ruby "
    "0.125 ± 0.040. ± is the 95 % interval."
)


def balance(
    sheet: str | None = None,
    *,
    beats_per_hour: int | None = None,
    inertia_mg_cm2: str | None = None,
    mass_mg: str | None = None,
    pivot_mm: str | None = None,
    quality_factor: str | None = None,
    lying_deg: str | None = None,
    height_mm: str | None = None,
    thickness_mm: str | None = None,
    length_mm: str | None = None,
    elastic_gpa: str | None = None,
    shortened_mm: str | None = None,
    index_deg: str | None = None,
    pins_radius_mm: str | None = None,
    rate_wanted_s_per_day: str | None = None,
    weight_ug: str | None = None,
    at_mm: str | None = None,
    warmer_c: str | None = None,
    spot_s_per_day: str | None = None,
    swing_deg: str | None = None,
    rim: str | None = None,
    spring: str | None = None,
    as_json: Json = False,
) -> None:
    """Answer what can be computed of a balance and its hairspring from what is known.

    Every length, angle or weight may carry its 95 % interval: "0.030+-0.002"; one below 0 is
    written with an equals sign, --weight-ug=-500+-40. What is given counts before what the sheet
    says; what is not known leaves its question open.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as tarnbrook-31).
    beats_per_hour
        Beats an hour.
    inertia_mg_cm2
        Moment of inertia of the balance.
    mass_mg
        Mass of the balance with staff and roller.
    pivot_mm
        Diameter of its pivots.
    quality_factor
        Quality factor of the free balance.
    lying_deg
        Amplitude lying.
    height_mm
        Height of the hairspring's strip.
    thickness_mm
        Thickness of the strip.
    length_mm
        Active length, from the collet to the stud or the pins.
    elastic_gpa
        Modulus of elasticity; left out, that of the spring's metal.
    shortened_mm
        By how much the active length is shortened; below 0 lengthened.
    index_deg
        By how much the index is moved towards fast; below 0 towards slow.
    pins_radius_mm
        Radius at which the index pins hold the spring.
    rate_wanted_s_per_day
        The change of rate wanted; plus is gaining.
    weight_ug
        Weight added on the rim, in millionths of a gram; below 0 taken.
    at_mm
        Its distance from the staff.
    warmer_c
        By how many degrees Celsius it is warmer; below 0 colder.
    spot_s_per_day
        What a heavy spot makes in a hanging position.
    swing_deg
        The amplitude at which it makes that.
    rim
        Metal of the rim: brass, steel, nickel silver or beryllium bronze.
    spring
        Metal of the hairspring: carbon steel or self-compensating alloy.
    as_json
        Write JSON instead of words.
    """
    given = {name: value for name, value in locals().items() if name in WORDS and value is not None}
    calibre = sheet_at(sheet) if sheet else None
    known = KnownOfBalance(**{**(known_from(calibre) if calibre else {}), **read(given)})
    told, still_open = balance_sums(known)
    if not told:
        raise NotEnough(f"nothing can be computed yet; {open_words(still_open[:1])[0]}")
    say(answer(told, still_open, asked=tuple(given)), as_json=as_json)


def read(given: Mapping[str, object]) -> dict[str, object]:
    """Return the options as values; a fault names the option."""
    return {
        name: measured(name.replace("_", "-"), value)
        if isinstance(value, str) and name not in ("rim", "spring")
        else value
        for name, value in given.items()
    }


def answer(
    told: Sequence[BalanceAnswer], still_open: Sequence[Open], *, asked: tuple[str, ...]
) -> CommandAnswer:
    """Return every answer, and what the questions that were begun still lack."""
    unused = frozenset(asked) - {name for each in told for name in each.rests_on}
    begun = [each for each in still_open if each.is_begun(unused)]
    others = other_questions(still_open, begun)
    return CommandAnswer(
        schema="balance",
        sentences=[each.sentence for each in told],
        grids=[
            Grid(
                title="Balance and hairspring",
                columns=("", "figure", "unit"),
                rows=[
                    (figure.what, figure.value.text(), figure.unit)
                    for each in told
                    for figure in each.figures
                ],
                numbers=(1,),
            )
        ],
        notes=[*open_words(begun), *others, FROM_MEMORY],
        figures={
            "answers": {each.key: each.figures for each in told},
            "open": {each.key: each.reason or each.lacks for each in still_open},
        },
    )


def open_words(still_open: Sequence[Open]) -> list[str]:
    """Return why questions are open, a sentence each."""
    return [
        f"{each.title}: {each.reason}."
        if each.reason
        else f"{each.title}: lacks {'; '.join(option(name) for name in each.lacks)}."
        for each in still_open
    ]


def other_questions(still_open: Sequence[Open], begun: Sequence[Open]) -> list[str]:
    """Return what else could be asked, a sentence."""
    rest = [each.title.lower() for each in still_open if each not in begun]
    return [f"It would answer, too: {', '.join(rest)} (--help names the options)."] if rest else []


def option(name: str) -> str:
    """Return how a value is given, and what it is."""
    return f"--{name.replace('_', '-')} ({WORDS[name]})"
