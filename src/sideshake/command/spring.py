"""`sideshake spring`: turns, torque, the right spring, and what a low amplitude says."""

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from sideshake.command.amplitude_words import amplitude_words
from sideshake.command.options import Flag, Json
from sideshake.command.read import measured, stock
from sideshake.command.running_words import percent, spring_words, torque_picture
from sideshake.command.say import CommandAnswer, Grid, save_picture, say
from sideshake.core.quantities import Measured
from sideshake.movement.energy import USUAL_VISCOUS_SHARE
from sideshake.movement.escapement import require_loss_model
from sideshake.movement.mainspring import (
    Spring,
    SpringChange,
    SpringOffer,
    SpringRoom,
    best_length,
    changed,
    filled,
    offers,
    room_of,
    spring_of,
    with_thickness,
)
from sideshake.movement.running import first_torque, running_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import sheet_at

CAUTION = (
    "A wound spring can cut and break teeth: let it down under control before anything is taken "
    "off, use a winder, wear eye protection."
)
MODEL = (
    "Torque of the strip is without friction; amplitude follows torque by the model of viscous and "
    "dry friction (docs/movement.md)."
)


def spring(
    sheet: str,
    *,
    amplitude_deg: str | None = None,
    hanging: Flag = False,
    thickness_mm: str | None = None,
    stock_list: Annotated[Path | None, Parameter(name="--stock")] = None,
    turns: str | None = None,
    efficiency: str | None = None,
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Show a mainspring's turns and torque, choose another, explain a low amplitude.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as tarnbrook-31).
    amplitude_deg
        A measured amplitude, fully wound, such as "215 ± 8": how much torque is missing, or how
        much more is lost at the balance, and what would tell them apart?
    hanging
        The amplitude was measured hanging, not lying.
    thickness_mm
        The thickness of the spring found in the watch: what does it do?
    stock_list
        A CSV file with the columns thickness_mm, height_mm, length_mm and name: which one serves?
    turns
        Turns of the barrel counted from fully wound to stopped, such as "6.5 ± 0.2". They take
        the place of what the sheet leaves to be estimated.
    efficiency
        Barrel efficiency found on this watch, such as "0.7 ± 0.1"; the sheet's is a sound one's.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the torque curve.
    """
    calibre = sheet_at(sheet)
    room, right = room_of(calibre), spring_of(calibre)
    counted = measured("turns", turns) if turns is not None else None
    gives = measured("efficiency", efficiency) if efficiency is not None else None
    whole = running_of(calibre, counted=counted, efficiency=gives)
    parts = [spring_words(calibre, whole, counted=counted is not None)]
    if amplitude_deg is not None:
        require_loss_model(calibre)
        swing = measured("amplitude-deg", amplitude_deg)
        full = first_torque(room, right, whole)
        parts.append(amplitude_words(calibre, swing, hanging=hanging, torque_mnm=full))
    if thickness_mm is not None:
        found = measured("thickness-mm", thickness_mm)
        parts.append(thickness_words(room, right, found))
    if stock_list is not None:
        tried = offers(room, stock(stock_list, right), wanted=right)
        parts.append(stock_words(tried, room, right=right))
    drawn: list[str] = []
    if pictures is not None:
        drawn = [save_picture(pictures, "torque.svg", torque_picture(calibre, whole))]
    say(joined(parts, spring_notes(calibre)), as_json=as_json, drawn=drawn)


def joined(parts: list[CommandAnswer], notes: list[str]) -> CommandAnswer:
    """Return several answers as one, for one command."""
    figures: dict[str, object] = {}
    for part in parts:
        figures |= part.figures
    return CommandAnswer(
        schema="spring",
        sentences=[sentence for part in parts for sentence in part.sentences],
        grids=[grid for part in parts for grid in part.grids],
        notes=notes,
        figures=figures,
        version=2,
    )


def spring_notes(calibre: CalibreSheet) -> list[str]:
    """Return what to know beside the figures: the model, what is from memory, the danger."""
    memory = calibre.from_memory("mainspring", "nominal.viscous_share")
    notes = [MODEL]
    if memory:
        notes.append(f"From memory in this sheet: {', '.join(memory)}.")
    if calibre.nominal is None or calibre.nominal.viscous_share is None:
        notes.append(f"Viscous share {USUAL_VISCOUS_SHARE.text()}: from memory, no source.")
    return [*notes, CAUTION]


def thickness_words(room: SpringRoom, right: Spring, found: Measured) -> CommandAnswer:
    """Return what a wrong thickness does, at the same length and at its own best length."""
    as_found = with_thickness(right, found, length_mm=right.length_mm)
    cut = with_thickness(right, found, length_mm=best_length(room, found))
    same, own = changed(room, right, as_found), changed(room, right, cut)
    sentence = (
        f"{found.text()} mm instead of {right.thickness_mm.text()} mm at the same length: "
        f"{stronger_words(same)} torque and "
        f"{same.turns_change.text(sign=True)} turns."
    )
    rows = [
        change_row("same length", as_found, same, room=room),
        change_row("its own best length", cut, own, room=room),
    ]
    table = Grid(
        title=f"A strip of {found.text()} mm",
        columns=("", "length mm", "torque", "turns", "fills"),
        rows=rows,
        numbers=(1, 2, 3, 4),
    )
    return CommandAnswer(
        schema="spring",
        sentences=[sentence],
        grids=[table],
        figures={"same_length": same, "own_best_length": own},
    )


def change_row(
    name: str, strip: Spring, change: SpringChange, *, room: SpringRoom
) -> tuple[str, ...]:
    """Return one row: what another strip does."""
    return (
        name,
        strip.length_mm.text(),
        stronger_words(change),
        change.turns_change.text(sign=True),
        f"{percent(filled(room, strip))} %",
    )


def stronger_words(change: SpringChange) -> str:
    """Return by how much another strip's torque differs, in per cent with its uncertainty."""
    stronger = Measured(change.torque_ratio.value - 1, change.torque_ratio.u)
    return f"{percent(stronger, sign=True)} %"


def stock_words(
    tried: tuple[SpringOffer, ...], room: SpringRoom, *, right: Spring
) -> CommandAnswer:
    """Return the stock list tried in the barrel, the best first."""
    best = tried[0]
    if best.faults:
        said = (
            f"No spring of the stock serves; the nearest is {best.spring.name}: {best.faults[0]}."
        )
    else:
        said = (
            f"Best of {len(tried)} in stock: {best.spring.name}, "
            f"{stronger_words(changed(room, right, best.spring))} torque, "
            f"{best.turns.text()} turns."
        )
    rows = [
        (
            each.spring.name,
            f"{each.spring.thickness_mm.value:g} x {each.spring.height_mm.value:g} x "
            f"{each.spring.length_mm.value:g}",
            stronger_words(changed(room, right, each.spring)),
            each.turns.text(),
            f"{percent(filled(room, each.spring))} %",
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
    return CommandAnswer(schema="spring", sentences=[said], grids=[table], figures={"stock": tried})
