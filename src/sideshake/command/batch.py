"""`sideshake batch`: which few jewel sizes to have made, and what each more would serve."""

import csv
from pathlib import Path
from typing import Any

from sideshake.command.options import Json
from sideshake.command.say import CommandAnswer, Grid, save_picture, say
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.fit.batch import BatchPrices, JewelBatch, coverage_curve
from sideshake.fit.jewel import SERVES, Seat

COLUMNS = ("pivot_mm", "play_low_mm", "play_high_mm", "old_hole_mm", "plate_thickness_mm")
RULE = (
    f"A size serves when its play ends inside the limits with at least {100 * SERVES:.0f} %, the "
    "metal has room, and it is as thick as the plate asks: the rule by which jewel takes a part "
    "from the drawer. Stock sizes are from memory."
)


def batch(
    repairs: Path,
    *,
    per_size: float = 80.0,
    per_piece: float = 6.0,
    pieces: int = 10,
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Tell which few jewel sizes to have made so that most repairs are served.

    Parameters
    ----------
    repairs
        A CSV file, one hole a row: pivot_mm, play_low_mm, play_high_mm, old_hole_mm,
        plate_thickness_mm and, if known, room_mm.
    per_size
        The maker's price for setting up one size.
    per_piece
        The price of one piece.
    pieces
        Pieces ordered of each size.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the curve of cost against coverage.
    """
    prices = BatchPrices(per_size=per_size, per_piece=per_piece, pieces_per_size=pieces)
    curve = coverage_curve(seats_in(repairs), prices=prices)
    drawn: list[str] = []
    if pictures:
        from sideshake.drawings.coverage import coverage_drawing
        from sideshake.drawings.svg import svg_text

        drawn = [save_picture(pictures, "jewel-batch.svg", svg_text(coverage_drawing(curve)))]
    say(answer(curve), as_json=as_json, drawn=drawn)


def seats_in(path: Path) -> tuple[Seat, ...]:
    """Return the repairs in a CSV file.

    Raises
    ------
    InputError : the file cannot be read, or a row has a fault; row and column are named
    """
    try:
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
    except OSError as error:
        raise InputError(f"cannot read {path}: {error.strerror}") from None
    except csv.Error as error:
        raise InputError(f"{path} is not a CSV table: {error}") from None
    except UnicodeDecodeError as error:
        raise InputError(f"{path} is not a UTF-8 text: {error.reason}") from None
    return tuple(seat_in(row, number) for number, row in enumerate(rows, start=2))


def seat_in(row: dict[str, str], number: int) -> Seat:
    """Return the repair in one row."""
    pivot, low, high, old, plate = (length(row, column, number) for column in COLUMNS)
    room = length(row, "room_mm", number) if row.get("room_mm") else None
    try:
        return Seat(
            pivot_mm=pivot,
            play_mm=(low.value, high.value),
            old_hole_mm=old.value,
            plate_thickness_mm=plate.value,
            room_mm=room.value if room else None,
        )
    except InputError as error:
        raise InputError(f"row {number}: {error}") from None


def length(row: dict[str, str], column: str, number: int) -> Measured:
    """Return one length of a row."""
    written = row.get(column)
    if not written:
        raise InputError(f"row {number} has no {column}; the columns are {', '.join(COLUMNS)}")
    try:
        return Measured.parse(written, "mm")
    except InputError as error:
        raise InputError(f"row {number}, {column}: {error}") from None


def answer(curve: tuple[JewelBatch, ...]) -> CommandAnswer:
    """Return the curve in words: a sentence for the knee, a row for each number of sizes."""
    return CommandAnswer(
        schema="batch",
        sentences=[knee_sentence(curve)],
        grids=[
            Grid(
                title="Sizes to have made (hole × outside × thickness, mm)",
                columns=["sizes", "served", "coverage", "play right", "cost", "which"],
                rows=[batch_row(each) for each in curve],
                numbers=(0, 1, 2, 3, 4),
            )
        ],
        notes=[
            RULE,
            *unserved_words(curve[-1]),
        ],
        figures={"curve": [figures(each) for each in curve]},
    )


def knee_sentence(curve: tuple[JewelBatch, ...]) -> str:
    """Return what the smallest batch that serves four of five repairs takes, or the largest one."""
    enough = next((each for each in curve if each.coverage >= 0.8), curve[-1])
    count = len(enough.sizes)
    who = "1 size serves" if count == 1 else f"{count} sizes serve"
    return (
        f"{who} {enough.served} of {enough.repairs} repairs "
        f"({enough.coverage:.0%}) for {enough.cost:.0f}; "
        f"the play will be right in {right_words(enough)} of them."
    ).replace("%", " %")


def right_words(each: JewelBatch) -> str:
    """Return in how many of the repairs served the play will be right."""
    return each.right.text() if each.right.u >= 0.005 else f"all {each.served}"


def unserved_words(most: JewelBatch) -> list[str]:
    """Return how many repairs no size serves, if there are any."""
    left = most.repairs - most.served
    who = "1 repair is" if left == 1 else f"{left} repairs are"
    return (
        [
            f"{who} served by no size here: no room for a jewel's wall and seat, or no hole whose "
            "play would most likely be right (the pivot not measured well enough)."
        ]
        if left
        else []
    )


def batch_row(each: JewelBatch) -> list[str]:
    """Return one point of the curve."""
    which = "; ".join(part.sizes for part in each.sizes)
    share = f"{each.coverage:.0%}".replace("%", " %")
    right = right_words(each)
    return [str(len(each.sizes)), str(each.served), share, right, f"{each.cost:.0f}", which]


def figures(each: JewelBatch) -> dict[str, Any]:
    """Return one point of the curve for other programs."""
    return {
        "sizes": each.sizes,
        "served": each.served,
        "repairs": each.repairs,
        "right": each.right,
        "cost": each.cost,
    }
