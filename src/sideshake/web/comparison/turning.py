"""Lateness of one turn of the escape wheel, kept with a reading; and two of them side by side."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from django.conf import settings

from sideshake.storage.files import write_whole
from sideshake.storage.folder import made
from sideshake.timing.turn.fold import WheelTurn
from sideshake.web.comparison.services import SideBySide
from sideshake.web.models import Reading
from sideshake.web.readings.heard_rows import LOOK, PICTURES
from sideshake.web.readings.kept_figures import conditions


@dataclass(frozen=True, slots=True, kw_only=True)
class Stem:
    """One beat of the ring as a table tells it: its number, side, lateness and how many beats."""

    number: int
    side: str
    late_ms: str
    beats: int
    stands_out: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoTurns:
    """One turn before the work and one after it, heard at `place`."""

    before: WheelTurn
    after: WheelTurn
    place: str


def turn_in(figures: Mapping[str, Any]) -> WheelTurn | None:
    """Return the turn that is kept in a reading's figures, if there is one."""
    kept = figures.get("turn")
    if not kept:
        return None
    lists = {
        "late_s": np.array(kept["late_s"]),
        "u_s": np.array(kept["u_s"]),
        "beats": np.array(kept["beats"], np.intp),
        "wave": (kept["wave"][0], kept["wave"][1]),
    }
    return WheelTurn(**{**kept, **lists})


def stems_in(figures: Mapping[str, Any]) -> list[Stem]:
    """Return the stems of a reading's ring, in order; none without a ring."""
    from sideshake.drawings.ring import late_words
    from sideshake.timing.turn.words import SIDES

    turn = turn_in(figures)
    if turn is None:
        return []
    return [
        Stem(
            number=place + 1,
            side=SIDES[place % 2],
            late_ms=late_words(turn, place),
            beats=int(turn.beats[place]),
            stands_out=bool(turn.stands_out[place]),
        )
        for place in range(turn.places)
    ]


def two_turns(pair: SideBySide) -> TwoTurns | None:
    """Return a turn before and one after, of readings heard alike if there are such.

    Of two single readings it is theirs, however they were heard; None where one has no turn.
    """
    for one in pair.before.readings:
        for other in pair.after.readings:
            alike = conditions(one) == conditions(other)
            if alike or not (pair.before.whole_round or pair.after.whole_round):
                found = turns_of(one, other)
                if found is not None:
                    return found
    return None


def turns_of(one: Reading, other: Reading) -> TwoTurns | None:
    """Return the turns of two readings, if both have one of the same wheel."""
    before, after = turn_in(one.figures), turn_in(other.figures)
    if before is None or after is None or before.places != after.places:
        return None
    same = one.position == other.position
    place = str(one.get_position_display()) if same and one.position else ""
    return TwoTurns(before=before, after=after, place=place)


def rings_of(two: TwoTurns) -> bytes:
    """Return the picture of two turns as SVG; the same one is drawn once."""
    from sideshake.drawings.ring import rings_drawing
    from sideshake.drawings.svg import svg_text

    told = repr([each.late_s.tolist() for each in (two.before, two.after)]) + two.place
    name = hashlib.sha256(told.encode()).hexdigest()[:32]
    path = made(Path(settings.FILES) / PICTURES) / f"rings-{name}-{LOOK}.svg"
    if not path.exists():
        drawing = rings_drawing(two.before, two.after, place=two.place)
        write_whole(path, svg_text(drawing).encode())
    return path.read_bytes()
