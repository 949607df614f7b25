"""`sideshake look hole`: a hole measured in one photograph, or in several with the part turned."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from sideshake.command.options import Flag, Json
from sideshake.command.pixel_scale import CardLies, card_of, points_on_rule
from sideshake.command.say import CommandAnswer, Grid, save_picture, say
from sideshake.core.errors import InputError, NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.hole import HoleSeen, PhotoView, SeenSide, measure_hole
from sideshake.photo.light import LightPhotograph, photograph
from sideshake.photo.scale import NEAR_MM, ByRound, Scale
from sideshake.photo.told import budget_rows, hole_sentence, notes_of, turned_sentences
from sideshake.photo.trace import Coding
from sideshake.photo.turned import TurnedPhotographs, combined

Place = tuple[float, float]
NO_SCALE = (
    "no scale: give --lines with the two lines of the card beside the part (sideshake card), or "
    "--known with --known-mm for a pin or hole of known size in the picture, or --points with "
    "--length-mm for two points on a rule"
)
COMMON = "Assumptions without a source: see docs/photograph.md."


def hole(
    photos: list[Path],
    *,
    at: list[Place],
    lines: tuple[str, str] | None = None,
    above_mm: str | None = None,
    distance_mm: float = NEAR_MM,
    known: Place | None = None,
    known_mm: str | None = None,
    known_pin: Flag = False,
    points: tuple[float, float, float, float] | None = None,
    length_mm: str | None = None,
    seen_from: Literal["bridge", "plate"] = "bridge",
    turned: list[float] | None = None,
    rounded: Flag = False,
    linear: Flag = False,
    into: Path | None = None,
    place: Literal["above", "below", "lid", "floor"] | None = None,
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Measure a hole in a photograph: size, oval, which way it wore, each with its 95 % interval.

    Parameters
    ----------
    photos
        The photograph; or three or more of the same hole, the part turned between.
    at
        A place inside the hole, in hundredths of the picture's width and height from its upper
        left; repeat it for each photograph.
    lines
        The card's two 100 mm lines as measured by calliper: across, along.
    above_mm
        How much higher than the rim the card lies; 0 ± 0.1 if left out.
    distance_mm
        From the lens to the part, at least.
    known
        A place inside a pin, jewel or hole of known size in the same photograph.
    known_mm
        Its diameter, such as 1.000+-0.002.
    known_pin
        What is known is a pin or coin, no hole.
    points
        Two places on a rule, as for --at: x y x y.
    length_mm
        How far apart they are.
    seen_from
        From which side the part is seen.
    turned
        By how many degrees the part is turned counter-clockwise in the picture from lying with its
        12 o'clock up; repeat it for each photograph.
    rounded
        The rim is rounded, chamfered or sunk.
    linear
        The camera codes light in proportion, as cameras for machines do.
    into
        A file of measurements into which the hole is written (of several photographs the first).
    place
        Which hole it is: above (bridge), below (plate), lid or floor.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the drawn edge and for the deviations of the rim (SVG).
    """
    asked = ScaleAsked(
        lines=lines, above_mm=above_mm, distance_mm=distance_mm, known=known, known_mm=known_mm,
        known_pin=known_pin, points=points, length_mm=length_mm,
    )  # fmt: skip
    looks = looks_of(photos, at, turned or [])
    if (into is None) != (place is None):
        raise InputError("--into and --place go together: into which file, and which hole it is")
    seen: list[HoleSeen] = []
    drawn: list[str] = []
    for number, look in enumerate(looks, start=1):
        photo = photograph(look.path)
        view = PhotoView(
            side=SeenSide(seen_from),
            turned_deg=look.turned_deg,
            rounded=rounded,
            coding=Coding.LINEAR if linear else Coding.CAMERA,
        )
        try:
            found = measure_hole(photo, photo.at(*look.at), asked.scale(photo), view=view)
        except NotEnough as why:
            raise NotEnough(f"{look.path}: {why}") from None
        seen.append(found)
        drawn += draw(photo, found, pictures, number, of=len(looks)) if pictures else []
    if into and place:
        from sideshake.command.into import write_into

        write_into(into, place, seen[0])
    say(answer(seen), as_json=as_json, drawn=drawn)


@dataclass(frozen=True, slots=True, kw_only=True)
class CommandLook:
    """One photograph, the place pressed in it, how the part is turned."""

    path: Path
    at: Place
    turned_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleAsked:
    """The scale as it was asked for."""

    lines: tuple[str, str] | None
    above_mm: str | None
    distance_mm: float
    known: Place | None
    known_mm: str | None
    known_pin: bool
    points: tuple[float, float, float, float] | None
    length_mm: str | None

    def scale(self, photo: LightPhotograph) -> Scale:
        """Return the scale; places are in hundredths of the picture.

        Raises
        ------
        InputError : none is asked for, several, or half of one
        """
        asked = [bool(self.lines), bool(self.known or self.known_mm),
                 bool(self.points or self.length_mm)]  # fmt: skip
        if sum(asked) != 1:
            raise InputError(NO_SCALE if not any(asked) else f"give one scale only; {NO_SCALE}")
        if self.lines:
            lies = CardLies(above_mm=self.above_mm, distance_mm=self.distance_mm)
            return card_of(self.lines, lies)
        if self.known and self.known_mm:
            diameter = Measured.read(self.known_mm, "mm")
            return ByRound(
                at_px=photo.at(*self.known), diameter_mm=diameter, outline=self.known_pin
            )
        if self.points and self.length_mm:
            return points_on_rule(photo, self.points, self.length_mm)
        raise InputError(NO_SCALE)


def looks_of(photos: list[Path], at: list[Place], turned: list[float]) -> list[CommandLook]:
    """Return each photograph with its place and turn.

    Raises
    ------
    InputError : their numbers differ
    """
    if len(at) != len(photos) or len(turned) not in {0, len(photos)}:
        raise InputError(
            f"each photograph needs its own --at, and its own --turned if any has one: "
            f"{len(photos)} photographs, {len(at)} places, {len(turned)} turns"
        )
    if len(photos) > 1 and not turned:
        raise InputError("of several photographs --turned tells how the part lies in each")
    turns = turned or [0.0] * len(photos)
    pairs = zip(photos, at, turns, strict=True)
    return [CommandLook(path=path, at=place, turned_deg=turn) for path, place, turn in pairs]


def draw(
    photo: LightPhotograph, found: HoleSeen, folder: Path, number: int, *, of: int
) -> list[str]:
    """Write the drawn edge and the deviations, and return where they are."""
    from sideshake.drawings.hole_seen import deviations_picture, edge_picture

    ending = f"-{number}" if of > 1 else ""
    return [
        save_picture(folder, f"hole-edge{ending}.svg", edge_picture(photo, found)),
        save_picture(folder, f"hole-deviations{ending}.svg", deviations_picture(found)),
    ]


def answer(seen: list[HoleSeen]) -> CommandAnswer:
    """Return the whole answer: sentences, the budget, the facts."""
    together = combined(seen) if len(seen) > 1 else None
    sentences = [*(turned_sentences(together) if together else ()), *map(hole_sentence, seen)]
    notes = dict.fromkeys(note for each in seen for note in notes_of(each))
    return CommandAnswer(
        schema="look-hole",
        sentences=sentences,
        grids=[budget_grid(seen[0]), facts_grid(seen)],
        notes=[*notes, COMMON],
        figures={
            "photographs": [figures(each) for each in seen],
            "together": turned_figures(together) if together else None,
        },
    )


def budget_grid(found: HoleSeen) -> Grid:
    """Return what each cause adds, as 95 % half-widths."""
    return Grid(
        title="What the ± is made of (µm)",
        columns=["cause", "size", "oval"],
        rows=budget_rows(found),
        numbers=(1, 2),
    )


def facts_grid(seen: list[HoleSeen]) -> Grid:
    """Return how well each photograph shows the hole."""
    rows = [
        [
            str(number),
            f"{1000 * each.mm_a_pixel:.1f}",
            f"{2 * each.rim.fit.ellipse.r:.0f}",
            f"{each.rim.curve.blur_px:.1f}",
            f"{100 * each.lost:.0f}",
            "" if each.tilt_deg is None else f"{each.tilt_deg:.1f}",
            "" if each.oval is None else f"{100 * each.oval.chance:.1f}",
        ]
        for number, each in enumerate(seen, start=1)
    ]
    columns = ["", "µm a pixel", "across (px)", "blur (px)", "rim lost (%)", "tilt (°)",
               "oval is real (%)"]  # fmt: skip
    return Grid(title="The photograph", columns=columns, rows=rows, numbers=range(7))


def figures(found: HoleSeen) -> dict[str, Any]:
    """Return one photograph's figures for other programs."""
    return {
        "mean_mm": found.mean_mm,
        "long_mm": found.long_mm,
        "short_mm": found.short_mm,
        "oval_mm": found.oval_mm,
        "oval_chance": found.oval.chance if found.oval else None,
        "direction_deg": found.direction_deg,
        "seen_from": found.view.side.value,
        "turned_deg": found.view.turned_deg,
        "light": "behind" if found.behind else "front",
        "um_a_pixel": 1000 * found.mm_a_pixel,
        "blur_mm": found.blur_mm,
        "tilt_deg": found.tilt_deg,
        "card": found.card.word if found.card else None,
        "rim_lost": found.lost,
        "rim_px": found.rim.fit.ellipse,
        "budget": [
            {"cause": each.cause.value, "size_u_mm": each.size_mm, "oval_u_mm": each.oval_mm}
            for each in found.budget
        ],
    }


def turned_figures(together: TurnedPhotographs) -> dict[str, Any]:
    """Return what several photographs tell together, for other programs."""
    return {
        "mean_mm": together.mean_mm,
        "wear": together.wear,
        "camera": together.camera,
        "agree": together.agree,
    }
