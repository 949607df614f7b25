"""`sideshake winding`: turns of the crown and of the rotor, and whether the rotor rubs."""

from sideshake.command.options import Json
from sideshake.command.read import measured
from sideshake.command.say import Answer, Grid, say
from sideshake.errors import Lacking
from sideshake.movement.running import running_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_at
from sideshake.movement.train import train_of
from sideshake.movement.winding import (
    RotorLift,
    crown_turns_per_arbor_turn,
    hours_per_barrel_turn,
    rotor_lifts,
    rotor_turns,
)
from sideshake.quantities import Measured, propagate
from sideshake.wear.rubbing import chance_short, chance_words

DAY_H = 24.0
LIKELY_RUB = 0.05


def winding(
    sheet: str,
    *,
    rotor_play_mm: str | None = None,
    as_json: Json = False,
) -> None:
    """Show how many turns wind a movement, and whether its rotor's rim rubs.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as lindquell-25).
    rotor_play_mm
        The play found at the rotor's bearing, with its 95 % interval: "0.03+-0.006". Without it the
        sheet's play of a new bearing is taken.
    as_json
        Write JSON instead of words.
    """
    calibre = sheet_at(sheet)
    available = running_of(calibre).turns
    crown = crown_turns(calibre, available)
    parts = [
        Answer(
            schema="winding",
            sentences=[
                f"{calibre.name}: {crown.text()} turns of the crown wind it fully "
                "once it has stopped."
            ],
            figures={"calibre": calibre.name, "barrel_turns": available, "crown_turns": crown},
        )
    ]
    if calibre.automatic is not None:
        parts.append(rotor_turn_words(calibre, available))
        play = measured("rotor-play-mm", rotor_play_mm) if rotor_play_mm is not None else None
        parts.append(lift_words(rotor_lifts(calibre, play_mm=play)))
    elif rotor_play_mm is not None:
        raise Lacking(f"{calibre.name} has no [automatic] section, so it has no rotor")
    figures: dict[str, object] = {}
    for part in parts:
        figures |= part.figures
    say(
        Answer(
            schema="winding",
            sentences=[sentence for part in parts for sentence in part.sentences],
            grids=[grid for part in parts for grid in part.grids],
            notes=[note for part in parts for note in part.notes],
            figures=figures,
        ),
        as_json=as_json,
    )


def crown_turns(calibre: CalibreSheet, arbor_turns: Measured) -> Measured:
    """Return the turns of the crown that wind the arbor so many turns."""
    ratio = float(crown_turns_per_arbor_turn(calibre.needed("winding", "the turns of the crown")))
    return propagate(lambda turns: ratio * turns, arbor_turns)


def rotor_turn_words(calibre: CalibreSheet, available: Measured) -> Answer:
    """Return the rotor's turns to full, and for one day's running."""
    full = rotor_turns(calibre, available)
    per_day = DAY_H / float(hours_per_barrel_turn(train_of(calibre)))
    day = rotor_turns(calibre, Measured(per_day))
    return Answer(
        schema="winding",
        sentences=[
            f"The rotor winds it fully in {full.text()} useful turns; a day's running takes "
            f"{day.text()}."
        ],
        figures={"rotor_turns_to_full": full, "rotor_turns_per_day": day},
        notes=["Winding boxes are usually set to 650 to 800 turns a day (secondary trade page)."],
    )


def lift_words(lifts: tuple[RotorLift, ...]) -> Answer:
    """Return whether the rotor's rim rubs, in words."""
    worst = max(lifts, key=lambda each: each.rub_probability)
    if worst.rub_probability > LIKELY_RUB:
        said = (
            f"The rotor's rim reaches the {worst.towards} with a probability of "
            f"{chance_words(worst.rub_probability)}: renew its bearing."
        )
    elif any(each.worn for each in lifts):
        said = "The rotor's rim uses up more than half a gap: its bearing is worn."
    else:
        said = "The rotor runs free."
    rows = [
        (
            each.towards,
            each.lift_mm.text(),
            each.gap_mm.text(),
            chance_short(each.rub_probability),
            "worn" if each.worn else "sound",
        )
        for each in lifts
    ]
    table = Grid(
        title="The rotor's rim",
        columns=("towards", "lift mm", "gap mm", "probability of rubbing", ""),
        rows=rows,
        numbers=(1, 2, 3),
    )
    return Answer(
        schema="winding",
        sentences=[said],
        grids=[table],
        figures={"rotor": lifts},
        notes=["Half the gap as a limit is common practice without a published source."],
    )
