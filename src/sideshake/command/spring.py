"""`sideshake spring`: turns, torque, the right spring, and what a low amplitude says."""

import math
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from sideshake.command.options import Flag, Json
from sideshake.command.read import measured, stock
from sideshake.command.say import Answer, Grid, save_picture, say
from sideshake.errors import Lacking, NotEnough
from sideshake.movement.drive import (
    IN_PARALLEL,
    IN_SERIES,
    barrels_of,
    drive_torque,
    drive_turns,
    pull_of_fusee,
    running_h,
    torque_left_after,
)
from sideshake.movement.energy import USUAL_VISCOUS_SHARE, Losses, amplitude_at, torque_missing
from sideshake.movement.escapement import limits_of, require_loss_model
from sideshake.movement.mainspring import (
    Change,
    Offer,
    Room,
    Spring,
    best_length,
    changed,
    fill,
    full_torque,
    offers,
    room_of,
    spring_of,
    torque_curve,
    turns_available,
    with_thickness,
)
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_at
from sideshake.movement.train import train_of
from sideshake.movement.winding import hours_per_barrel_turn, reserve_h
from sideshake.quantities import COVERAGE_FACTOR, Measured

DAY_H = 24.0
CAUTION = (
    "A wound spring can cut and break teeth: let it down under control before anything is taken "
    "off, use a winder, wear eye protection."
)
MODEL = (
    "Torque is that of the strip alone, without friction; amplitude follows it by the model of "
    "viscous and dry friction (docs/movement.md)."
)


def spring(
    sheet: str,
    *,
    amplitude_deg: str | None = None,
    hanging: Flag = False,
    thickness_mm: str | None = None,
    stock_list: Annotated[Path | None, Parameter(name="--stock")] = None,
    turns: str | None = None,
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Show a mainspring's turns and torque, choose another, explain a low amplitude.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as tarnbrook-31).
    amplitude_deg
        A measured amplitude, fully wound, with its uncertainty: how much torque is missing?
    hanging
        The amplitude was measured hanging, not lying.
    thickness_mm
        The thickness of the spring found in the watch: what does it do?
    stock_list
        A CSV file with the columns thickness_mm, height_mm, length_mm and name: which one serves?
    turns
        Turns of the barrel counted from fully wound to stopped, with uncertainty.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the torque curve.
    """
    calibre = sheet_at(sheet)
    room, right = room_of(calibre), spring_of(calibre)
    answer = spring_words(calibre, room, right)
    parts = [answer]
    if turns is not None:
        counted = measured("turns", turns)
        parts.append(turns_words(calibre, counted, most=drive_turns(calibre)))
    if amplitude_deg is not None:
        swing = measured("amplitude-deg", amplitude_deg)
        parts.append(amplitude_words(calibre, swing, hanging=hanging))
    if thickness_mm is not None:
        found = measured("thickness-mm", thickness_mm)
        parts.append(thickness_words(room, right, found))
    if stock_list is not None:
        parts.append(stock_words(offers(room, stock(stock_list, right), wanted=right)))
    drawn: list[str] = []
    if pictures is not None:
        drawn = [save_picture(pictures, "torque.svg", torque_picture(calibre, room, right))]
    say(joined(parts, spring_notes(calibre)), as_json=as_json, drawn=drawn)


def joined(parts: list[Answer], notes: list[str]) -> Answer:
    """Return several answers as one, for one command."""
    figures: dict[str, object] = {}
    for part in parts:
        figures |= part.figures
    return Answer(
        schema="spring",
        sentences=[sentence for part in parts for sentence in part.sentences],
        grids=[grid for part in parts for grid in part.grids],
        notes=notes,
        figures=figures,
    )


def spring_notes(calibre: CalibreSheet) -> list[str]:
    """Return what to know beside the figures: the model, what is from memory, the danger."""
    memory = calibre.from_memory("mainspring", "nominal.viscous_share")
    notes = [MODEL]
    if memory:
        notes.append(f"From memory in this sheet: {', '.join(memory)}.")
    if calibre.nominal is None or calibre.nominal.viscous_share is None:
        notes.append(f"Viscous share {USUAL_VISCOUS_SHARE.text()}: from memory, no source.")
    if calibre.mainspring and calibre.mainspring.slipping_bridle:
        notes.append("The bridle slips near full wind, so the last turns may not be there.")
    return [*notes, CAUTION]


def spring_words(calibre: CalibreSheet, room: Room, right: Spring) -> Answer:
    """Return the sheet's own spring in words: turns, torque, fill, running time, fall in a day."""
    available, strong = turns_available(room, right), full_torque(room, right)
    best = best_length(room, right.thickness_mm)
    rows = [
        ("turns of the barrel", available.text(), ""),
        ("torque, fully wound", strong.text(), "mN·m"),
        ("the strip fills", f"{100 * fill(room, right):.1f}", "% of its room"),
        ("length that fills half", best.text(), "mm"),
    ]
    sentence = drive_sentence(calibre, available, strong)
    figures: dict[str, object] = {
        "calibre": calibre.name,
        "turns": available,
        "full_torque_mnm": strong,
        "fill": fill(room, right),
        "best_length_mm": best,
        "curve": torque_curve(room, right),
    }
    try:
        left, most = torque_left_after(calibre, DAY_H), running_h(calibre)
    except (Lacking, NotEnough):
        return Answer(schema="spring", sentences=[sentence], grids=[grid(rows)], figures=figures)
    rows += [
        ("running to the last turn", most.text(), "h"),
        ("torque left after 24 h", percent(left), "%"),
    ]
    figures |= {"running_h": most, "torque_left_24h": left}
    sentence += f" It runs {most.text()} h; after 24 h {percent(left)} % of the torque is left."
    modelled = not limits_of(calibre).losses_unknown
    if modelled and calibre.nominal and calibre.nominal.lying_full_deg:
        later = amplitude_at(losses_of(calibre, hanging=False), left)
        rows.append(("amplitude lying after 24 h", later.text(), "°, by the model"))
        figures["lying_24h_deg"] = later
    return Answer(schema="spring", sentences=[sentence], grids=[grid(rows)], figures=figures)


def drive_sentence(calibre: CalibreSheet, turns: Measured, strong: Measured) -> str:
    """Return what the barrel gives, and what two barrels or a fusee make of it."""
    gives = f"{turns.text()} turns and {strong.text()} mN·m fully wound"
    if calibre.fusee:
        found = pull_of_fusee(calibre)
        return (
            f"{calibre.name}: the barrel gives {gives}. The chain takes "
            f"{found.barrel_turns.text()} of its turns; the fusee gets {found.full_mnm.text()} "
            f"mN·m fully wound and {percent(found.last_over_full)} % of that at the end."
        )
    if barrels_of(calibre) in (IN_SERIES, IN_PARALLEL):
        return (
            f"{calibre.name}: each barrel gives {gives}; {barrels_of(calibre)} give "
            f"{drive_turns(calibre).text()} turns and {drive_torque(calibre).text()} mN·m."
        )
    return f"{calibre.name}: the barrel gives {gives}."


def grid(rows: list[tuple[str, str, str]]) -> Grid:
    """Return a table of named figures."""
    return Grid(title="", columns=("the spring of the sheet", "", ""), rows=rows, numbers=(1,))


def percent(share: Measured, *, sign: bool = False) -> str:
    """Return a share in per cent with its uncertainty."""
    return Measured(100 * share.value, 100 * share.u).text(sign=sign)


def losses_of(calibre: CalibreSheet, *, hanging: bool) -> Losses:
    """Return the nominal amplitude and the friction by which an amplitude is judged."""
    key = "nominal.hanging_full_deg" if hanging else "nominal.lying_full_deg"
    nominal = calibre.measured(key, "judging the amplitude")
    share = calibre.nominal.viscous_share if calibre.nominal else None
    if share is None:
        return Losses(nominal_deg=nominal)
    return Losses(nominal_deg=nominal, viscous_share=share)


def turns_words(calibre: CalibreSheet, counted: Measured, *, most: Measured) -> Answer:
    """Return the running time that counted turns give; a doubt if no such spring makes them."""
    hours = reserve_h(train_of(calibre), counted)
    beyond = counted.value - most.value > COVERAGE_FACTOR * math.hypot(counted.u, most.u)
    doubt = (
        f" But the sheet's spring makes only {most.text()}: count again, or another spring is in "
        "the barrel."
    )
    return Answer(
        schema="spring",
        sentences=[f"{counted.text()} counted turns run {hours.text()} h.{doubt * beyond}"],
        figures={"counted_turns": counted, "counted_running_h": hours},
    )


def amplitude_words(calibre: CalibreSheet, swing: Measured, *, hanging: bool) -> Answer:
    """Return how much torque must be missing to explain an amplitude."""
    require_loss_model(calibre)
    losses = losses_of(calibre, hanging=hanging)
    missing = torque_missing(losses, swing)
    word = "hanging" if hanging else "lying"
    nominal = f"{losses.nominal_deg.text()}°"
    if missing.holds(0.0):
        said = (
            f"{swing.text()}° {word} does not differ from the nominal {nominal} by more than the "
            f"uncertainty: {percent(missing)} % of the torque is missing."
        )
    elif missing.value > 0:
        said = (
            f"{swing.text()}° {word} instead of {nominal}: {percent(missing)} % of the torque must "
            "be missing (weak spring, or lost on the way)."
        )
    else:
        said = (
            f"{swing.text()}° {word} is above the nominal {nominal}: "
            f"{percent(Measured(-missing.value, missing.u))} % more torque. Is the spring too "
            "strong? Listen for knocking."
        )
    return Answer(schema="spring", sentences=[said], figures={"torque_missing": missing})


def thickness_words(room: Room, right: Spring, found: Measured) -> Answer:
    """Return what a wrong thickness does, at the same length and at its own best length."""
    as_found = with_thickness(right, found, length_mm=right.length_mm)
    cut = with_thickness(right, found, length_mm=best_length(room, found))
    same, own = changed(room, right, as_found), changed(room, right, cut)
    stronger = Measured(same.torque_ratio.value - 1, same.torque_ratio.u)
    sentence = (
        f"{found.text()} mm instead of {right.thickness_mm.text()} mm at the same length: "
        f"{percent(stronger, sign=True)} % torque and "
        f"{same.turns_change.text(sign=True)} turns."
    )
    rows = [
        change_row("same length", as_found, same),
        change_row("its own best length", cut, own),
    ]
    table = Grid(
        title=f"A strip of {found.text()} mm",
        columns=("", "length mm", "torque", "turns", "fills"),
        rows=rows,
        numbers=(1, 2, 3, 4),
    )
    return Answer(
        schema="spring",
        sentences=[sentence],
        grids=[table],
        figures={"same_length": same, "own_best_length": own},
    )


def change_row(name: str, strip: Spring, change: Change) -> tuple[str, ...]:
    """Return one row: what another strip does."""
    stronger = Measured(change.torque_ratio.value - 1, change.torque_ratio.u)
    return (
        name,
        f"{strip.length_mm.value:.0f}",
        f"{percent(stronger, sign=True)} %",
        change.turns_change.text(sign=True),
        f"{100 * change.fill:.0f} %",
    )


def stock_words(tried: tuple[Offer, ...]) -> Answer:
    """Return the stock list tried in the barrel, the best first."""
    best = tried[0]
    if best.faults:
        said = (
            f"No spring of the stock serves; the nearest is {best.spring.name}: {best.faults[0]}."
        )
    else:
        said = (
            f"Best of {len(tried)} in stock: {best.spring.name}, "
            f"{100 * best.torque_change:+.0f} % torque, {best.turns.text()} turns."
        ).replace("-", "−")
    rows = [
        (
            each.spring.name,
            f"{each.spring.thickness_mm.value:g} x {each.spring.height_mm.value:g} x "
            f"{each.spring.length_mm.value:g}",
            f"{100 * each.torque_change:+.0f} %".replace("-", "−"),
            each.turns.text(),
            f"{100 * each.fill:.0f} %",
            "; ".join(each.faults) or "serves",
        )
        for each in tried
    ]
    table = Grid(
        title="The stock tried in this barrel",
        columns=("spring", "thickness x height x length mm", "torque", "turns", "fills", ""),
        rows=rows,
        numbers=(2, 3, 4),
    )
    return Answer(schema="spring", sentences=[said], grids=[table], figures={"stock": tried})


def torque_picture(calibre: CalibreSheet, room: Room, right: Spring) -> str:
    """Return the torque curve as SVG, with the day marked if the train is known."""
    from sideshake.pictures.spring import torque_drawing
    from sideshake.pictures.svg import svg_text

    hours: float | None = None
    try:
        hours = float(hours_per_barrel_turn(train_of(calibre)))
    except (Lacking, NotEnough):
        hours = None
    curve = torque_curve(room, right)
    return svg_text(torque_drawing(curve, title=calibre.name, hours_per_turn=hours))
