"""`sideshake train`: beats, periods, what a heard period points at, and lost wheels."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from sideshake.command.options import Json
from sideshake.command.read import measured, pairs
from sideshake.command.say import CommandAnswer, Grid, save_picture, say
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.movement.lost_wheel import LostWheelAnswer, Speed, escape_wheel_lost, lost_counts
from sideshake.movement.motion_work import motion_work_completed, require_motion_work
from sideshake.movement.overtones import HeardAs, Overtone, overtones
from sideshake.movement.sheet import Arbor, CalibreSheet, Train
from sideshake.movement.sheet_file import sheet_at
from sideshake.movement.train import (
    ESCAPE,
    Period,
    agreed_beats,
    escape_arbor,
    fraction_of,
    meshes,
    periods_of,
    suspects,
    teeth_of,
    telling_time_s,
    train_of,
    turning,
)
from sideshake.movement.winding import driving_arbor

PARTS = ("wheel", "pinion")
GOOD_PERIODS = 5
SHOWN_ANSWERS = 25
SHAPES = (
    "A smooth wave: eccentric or bent; a short dip: one bad tooth or leaf; a ripple all the time: "
    "tooth form or depth; a rare dip: dirt or damage on one tooth and one leaf."
)
Repeated = Annotated[list[str] | None, Parameter(negative="")]


def train(
    sheet: str,
    *,
    heard_s: str | None = None,
    lost: Repeated = None,
    count: Repeated = None,
    speed: Repeated = None,
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Show how fast everything in a movement turns, or solve a lost wheel.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as tarnbrook-31).
    heard_s
        A period heard in the sound, in seconds, with its 95 % interval: "6.0+-0.1". Everything in
        the train that comes round as often is listed, and what would be heard as often: second
        and third harmonics, and what lies between two beats.
    lost
        A lost count, such as third.wheel or third.pinion, or a whole arbor, such as third or
        escape; may be repeated.
    count
        A count the sheet lacks, such as third.pinion=10; may be repeated.
    speed
        A known speed in turns an hour, such as barrel=1/8; may be repeated. The reference arbor,
        the seconds hand and the escape wheel are known from the sheet.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the train diagram.
    """
    calibre = sheet_at(sheet)
    own = with_counts(train_of(calibre), pairs("count", count or []))
    if lost:
        own = without(own, lost)
        known = known_speeds(calibre, own, pairs("speed", speed or []))
        answers = lost_counts(own, known, beats_per_hour=calibre.beats_per_hour)
        answer, shown = lost_words(calibre, answers), answers[0].train
    elif heard_s is not None:
        heard = measured("heard-s", heard_s)
        answer, shown = heard_words(calibre, own, heard), own
    else:
        answer, shown = train_words(calibre, own), own
    drawn: list[str] = []
    if pictures is not None:
        from sideshake.drawings.svg import svg_text
        from sideshake.drawings.train import train_diagram

        diagram = svg_text(train_diagram(shown, title=calibre.name))
        drawn = [save_picture(pictures, "train.svg", diagram)]
    say(answer, as_json=as_json, drawn=drawn)


def split_place(train_: Train, place: str) -> tuple[str, str]:
    """Return arbor and part of a place such as "third.pinion", or say what is allowed."""
    arbor, _, part = place.partition(".")
    names = [each.name for each in train_.arbors]
    if part not in PARTS or arbor not in names:
        raise InputError(
            f"a place looks like third.pinion: an arbor ({', '.join(names)}) and wheel or pinion, "
            f"got {place!r}"
        )
    return arbor, part


def replaced(train_: Train, arbor: str, part: str, number: int | None) -> Train:
    """Return the train with one count changed."""
    arbors = tuple(
        each.model_copy(update={part: number}) if each.name == arbor else each
        for each in train_.arbors
    )
    return train_.model_copy(update={"arbors": arbors})


def with_counts(train_: Train, counts: dict[str, str]) -> Train:
    """Return the train with the counts typed in; one that contradicts the sheet is refused."""
    for place, written in counts.items():
        arbor, part = split_place(train_, place)
        if not written.isdigit() or int(written) < 1:
            raise InputError(f"--count {place} must be a whole number of teeth, got {written!r}")
        known = getattr(next(each for each in train_.arbors if each.name == arbor), part)
        if known is not None and known != int(written):
            raise InputError(f"the sheet gives {place} as {known}, --count as {written}")
        train_ = replaced(train_, arbor, part, int(written))
    return train_


def without(train_: Train, lost: Sequence[str]) -> Train:
    """Return the train with the lost counts taken out."""
    for place in lost:
        for arbor, part in lost_parts(train_, place):
            train_ = replaced(train_, arbor, part, None)
    return train_


def lost_parts(train_: Train, place: str) -> list[tuple[str, str]]:
    """Return what is lost: wheel and pinion of a whole arbor ("third"), or one of the two."""
    whole = [each for each in train_.arbors if each.name == place]
    if not whole:
        return [split_place(train_, place)]
    return [(place, part) for part in PARTS if getattr(whole[0], part) is not None]


def known_speeds(calibre: CalibreSheet, train_: Train, typed: dict[str, str]) -> tuple[Speed, ...]:
    """Return every speed that is known: reference, seconds hand, escape wheel, and those typed."""
    speeds: dict[str, Fraction] = {}
    if train_.reference and train_.reference_turns_per_hour:
        speeds[train_.reference] = fraction_of(train_.reference_turns_per_hour)
    for arbor in train_.arbors:
        if arbor.carries == "seconds hand":
            speeds[arbor.name] = Fraction(60)
    if calibre.beats_per_hour and not escape_wheel_lost(train_):
        teeth = teeth_of(escape_arbor(train_), "wheel", "the number of beats")
        speeds[ESCAPE] = Fraction(calibre.beats_per_hour, 2 * teeth)
    for name, written in typed.items():
        wanted = fraction_of(written)
        if speeds.setdefault(name, wanted) != wanted:
            raise InputError(
                f"the sheet lets {name} turn {speeds[name]} times an hour, --speed says {wanted}"
            )
    return tuple(Speed(arbor=name, turns_per_hour=each) for name, each in speeds.items())


def seconds_text(value: Fraction) -> str:
    """Return seconds with three decimals, or as they are when whole."""
    return str(value.numerator) if value.denominator == 1 else f"{float(value):.3f}"


def period_grid(found: Sequence[Period], title: str) -> Grid:
    """Return periods as a table."""
    return Grid(
        title=title,
        columns=("what comes round", "seconds", "beats", "a fault shows as"),
        rows=[
            (each.what, seconds_text(each.seconds), seconds_text(each.beats), each.fault)
            for each in found
        ],
        numbers=(1, 2),
    )


def train_words(calibre: CalibreSheet, own: Train) -> CommandAnswer:
    """Return the train in words."""
    whole = calibre.model_copy(update={"train": own})
    beats, found = agreed_beats(whole), periods_of(whole)
    seconds = [each for each in own.arbors if each.carries == "seconds hand"]
    first = driving_arbor(own)
    barrel = (
        f" The {first} turns once in {float(turning(own, first).period_s) / 3600:g} h."
        if any(each.name == first for each in own.arbors)
        else ""
    )
    hand = f" The seconds hand sits on the {seconds[0].name} arbor." if seconds else ""
    if seconds and not seconds[0].wheel:
        hand += indirect_words(own, seconds[0])
    sentence = (
        f"{calibre.name} beats {float(beats):g} times an hour ({float(beats) / 7200:g} Hz)."
        f"{barrel}{hand}"
    )
    work = motion_words(calibre)
    return CommandAnswer(
        schema="train",
        sentences=[sentence, *([work] if work else [])],
        grids=[period_grid(found, "What comes round, and how often")],
        notes=[SHAPES],
        figures={"calibre": calibre.name, "beats_per_hour": beats, "periods": found},
    )


def indirect_words(own: Train, hand: Arbor) -> str:
    """Return what is different about a seconds hand that no force to the balance goes through."""
    driver = next(mesh.driver.name for mesh in meshes(own) if mesh.driven.name == hand.name)
    brake = (
        " A spring brakes it against flutter; more than just enough of it costs amplitude."
        if hand.friction_spring
        else ""
    )
    return (
        f" It is driven indirectly, by the {driver} arbor: no force to the balance goes through "
        f"it.{brake}"
    )


def motion_words(calibre: CalibreSheet) -> str:
    """Return the motion work in words: checked if whole, solved if one count lacks."""
    work = calibre.motion_work
    counts = work.model_dump() if work else {}
    lacking = [key for key, number in counts.items() if number is None]
    if work is None or len(lacking) > 1:
        return ""
    if lacking:
        found = getattr(motion_work_completed(work), lacking[0])
        return f"The motion work's missing {lacking[0].replace('_', ' ')} has {found}."
    require_motion_work(work)
    return "The motion work is right: 12 to 1."


def heard_words(calibre: CalibreSheet, own: Train, heard: Measured) -> CommandAnswer:
    """Return what a heard period points at, in words."""
    every = periods_of(calibre.model_copy(update={"train": own}))
    found, other = suspects(every, heard), overtones(every, heard)
    if not found:
        sentence = f"Nothing in the train of {calibre.name} comes round every {heard.text()} s."
    elif len(found) == 1:
        sentence = f"{heard.text()} s points at one thing: {found[0].what}."
    else:
        sentence = (
            f"{heard.text()} s fits {len(found)} things: "
            f"{'; '.join(each.what for each in found)}. {telling_words(found)}"
        )
    grids = [period_grid(found, "")] if found else []
    return CommandAnswer(
        schema="train-heard",
        sentences=[sentence, *overtone_words(other)],
        grids=[*grids, *([overtone_grid(other)] if other else [])],
        notes=[
            SHAPES,
            f"Record for at least {GOOD_PERIODS} periods, {GOOD_PERIODS * heard.value:.0f} s. "
            "Hum, temperature, date work and a moved watch can make periods of their own.",
        ],
        figures={"calibre": calibre.name, "heard_s": heard, "suspects": found, "overtones": other},
    )


def overtone_words(found: Sequence[Overtone]) -> list[str]:
    """Return what would be heard at that period though it comes round otherwise, in words."""
    said = []
    harmonics = [each for each in found if each.heard_as is not HeardAs.BETWEEN]
    if harmonics:
        told = "; ".join(
            f"{each.period.what}, every {seconds_text(each.period.seconds)} s ({each.heard_as})"
            for each in harmonics
        )
        said.append(
            f"It may be something slower that shows two or three times a turn, such as an oval "
            f"wheel: {told}."
        )
    faster = [each for each in found if each.heard_as is HeardAs.BETWEEN]
    if faster:
        told = "; ".join(
            f"{each.period.what}, every {seconds_text(each.period.seconds)} s" for each in faster
        )
        said.append(
            f"It may be something too fast for the beats to follow, which they meet a little later "
            f"each time: {told}."
        )
    return said


def overtone_grid(found: Sequence[Overtone]) -> Grid:
    """Return what would be heard at another period than its own as a table."""
    return Grid(
        title="Heard at another period than its own",
        columns=("what comes round", "seconds", "beats", "as"),
        rows=[
            (
                each.period.what,
                seconds_text(each.period.seconds),
                seconds_text(each.period.beats),
                each.heard_as.value,
            )
            for each in found
        ],
        numbers=(1, 2),
    )


def telling_words(found: Sequence[Period]) -> str:
    """Return how long a recording tells the suspects apart, as far as any can."""
    pairs = [(one, two) for one, two in pairwise(found) if one.seconds != two.seconds]
    if not pairs:
        return "Their periods are the same: no recording tells them apart."
    longest = max(float(telling_time_s(one, two)) for one, two in pairs)
    alike = " those that differ" if len(pairs) < len(found) - 1 else ""
    return f"A recording of at least {longest:.0f} s tells{alike or ' them'} apart."


def lost_words(calibre: CalibreSheet, answers: Sequence[LostWheelAnswer]) -> CommandAnswer:
    """Return the answers for a lost wheel, in words."""
    first = ", ".join(f"{place} {number}" for place, number in answers[0].found)
    known = any(mesh.fits is not None for each in answers for mesh in each.meshes)
    fitting = sum(each.fits for each in answers)
    kept = (
        f"{fitting} of them in keeping with the sizes that are known"
        if known
        else "no size is known that would choose between them"
    )
    sentence = (
        f"One answer: {first}."
        if len(answers) == 1
        else f"{len(answers)} answers in whole numbers, {kept}. The first: {first}."
    )
    left = len(answers) - SHOWN_ANSWERS
    return CommandAnswer(
        schema="train-lost",
        sentences=[f"{calibre.name}: {sentence}"],
        grids=[lost_grid(answers[:SHOWN_ANSWERS])],
        notes=[f"{left} more answers are in --json."] if left > 0 else [],
        figures={
            "calibre": calibre.name,
            "answers": [
                {"found": dict(each.found), "fits": each.fits, "meshes": each.meshes}
                for each in answers
            ],
        },
    )


def lost_grid(answers: Sequence[LostWheelAnswer]) -> Grid:
    """Return the answers as a table: counts, then the sizes of the meshes in the title's order."""
    places = [place for place, _ in answers[0].found]
    rows = [
        (
            *(str(number) for _, number in each.found),
            ", ".join(size_text(mesh.module_mm) for mesh in each.meshes),
            ", ".join(size_text(mesh.centre_distance_mm) for mesh in each.meshes),
            size_verdict(each),
        )
        for each in answers
    ]
    return Grid(
        title=f"Sizes in this order: {'; '.join(mesh.name for mesh in answers[0].meshes)}"
        if answers[0].meshes
        else "",
        columns=(*places, "modules mm", "centre distances mm", ""),
        rows=rows,
        numbers=tuple(range(len(places))),
    )


def size_verdict(found: LostWheelAnswer) -> str:
    """Return whether an answer suits the sizes that are known."""
    if not found.meshes:
        return "no size to compare"
    if not found.fits:
        return "does not fit"
    return "fits" if all(mesh.fits for mesh in found.meshes) else "not all sizes known"


def size_text(size: float | None) -> str:
    """Return a length in mm, or a dash when it is unknown."""
    return f"{size:.3f}" if size is not None else "–"
