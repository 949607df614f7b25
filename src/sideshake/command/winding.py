"""`sideshake winding`: turns of the crown and of the rotor, and whether the rotor rubs."""

from sideshake.command.options import Json
from sideshake.command.read import measured
from sideshake.command.say import CommandAnswer, Grid, say
from sideshake.core.errors import Lacking
from sideshake.core.quantities import Measured
from sideshake.movement.drive import drive_turns, rotor_turns_a_day
from sideshake.movement.running import has_stop_work
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_at
from sideshake.movement.winding import (
    RotorLift,
    crown_turns,
    rotor_lifts,
    rotor_turns,
    wound_by_key,
)
from sideshake.wear.rubbing import chance_short, chance_words

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
    available = drive_turns(calibre)
    parts = [hand_words(calibre, available)]
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
        CommandAnswer(
            schema="winding",
            sentences=[sentence for part in parts for sentence in part.sentences],
            grids=[grid for part in parts for grid in part.grids],
            notes=[note for part in parts for note in part.notes],
            figures=figures,
        ),
        as_json=as_json,
    )


def hand_words(calibre: CalibreSheet, available: Measured) -> CommandAnswer:
    """Return the turns of the crown, or of the key, to full."""
    figures: dict[str, object] = {"calibre": calibre.name, "barrel_turns": available}
    if wound_by_key(calibre):
        said = (
            f"{calibre.name}: {available.text()} turns of the key wind it fully once it has "
            "stopped."
        )
        figures["key_turns"] = available
    else:
        crown = crown_turns(calibre, available)
        said = (
            f"{calibre.name}: {crown.text()} turns of the crown wind it fully once it has stopped."
        )
        figures["crown_turns"] = crown
    return CommandAnswer(
        schema="winding", sentences=[said], figures=figures, notes=stop_work_notes(calibre)
    )


def stop_work_notes(calibre: CalibreSheet) -> list[str]:
    """Return that nobody counted the turns which a stop work lets through."""
    counted = calibre.mainspring and calibre.mainspring.stop_work_turns
    if counted or calibre.drive is None or not has_stop_work(calibre):
        return []
    return [
        f"How many turns its stop work ({calibre.drive.stop_work}) lets through is not in the "
        "sheet: two thirds of the spring's are taken, from memory. Count them "
        "(mainspring.stop_work_turns)."
    ]


def way_words(calibre: CalibreSheet) -> list[str]:
    """Return whether the rotor winds one way or both, as far as the sheet tells."""
    both = calibre.automatic.both_ways if calibre.automatic else None
    if both is None:
        return []
    if both:
        return ["It winds both ways; only the angle lost at each reversal is idle."]
    return [
        "It winds one way only: about half of its turning is idle, so that on the wrist or in a "
        "box it must turn about twice as far."
    ]


def rotor_turn_words(calibre: CalibreSheet, available: Measured) -> CommandAnswer:
    """Return the rotor's turns to full, and for one day's running."""
    full = rotor_turns(calibre, available)
    day = rotor_turns_a_day(calibre)
    return CommandAnswer(
        schema="winding",
        sentences=[
            f"The rotor winds it fully in {full.text()} useful turns; a day's running takes "
            f"{day.text()}.",
            *way_words(calibre),
        ],
        figures={"rotor_turns_to_full": full, "rotor_turns_per_day": day},
        notes=["Winding boxes are usually set to 650 to 800 turns a day (secondary trade page)."],
    )


def lift_words(lifts: tuple[RotorLift, ...]) -> CommandAnswer:
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
    return CommandAnswer(
        schema="winding",
        sentences=[said],
        grids=[table],
        figures={"rotor": lifts},
        notes=["Half the gap as a limit is common practice without a published source."],
    )
