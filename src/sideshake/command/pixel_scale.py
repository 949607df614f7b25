"""The scale of a photograph as it is given on the command line; holes have further ones."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from cyclopts import Parameter

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.photo.card import CALLIPER_U_MM, Print
from sideshake.photo.light import LightPhotograph
from sideshake.photo.scale import LEVEL, ByCard, ByPoints, Scale

ONE_SCALE = (
    "give one scale: --lines of the card, --um-a-pixel, or --points together with --length-mm"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLies:
    """How much higher than the part the card lies, as written, and the least distance of the lens
    from it."""

    above_mm: str | None
    distance_mm: float


Place = Annotated[tuple[float, float], Parameter(negative="")]
Points = Annotated[tuple[float, float, float, float], Parameter(negative="")]


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedScale:
    """The scale of a wheel or pivot as it was asked for on the command line.

    Parameters
    ----------
    lines : of the card, across and along, mm
    card : how the card lies
    um_a_pixel : as `sideshake look hole` tells it, such as "12.10+-0.05"
    points : x y x y of two places on a rule, hundredths of width and height
    length_mm : how far apart they are
    """

    lines: tuple[str, str] | None
    card: CardLies
    um_a_pixel: str | None
    points: Points | None
    length_mm: str | None

    def scale(self, photo: LightPhotograph) -> Scale | Measured | None:
        """Return the scale, as millimetres a pixel where that is given; None if none is.

        Raises
        ------
        InputError : several scales, half of one, or points that coincide
        """
        rule = self.points is not None or self.length_mm is not None
        if (self.lines is not None) + (self.um_a_pixel is not None) + rule > 1:
            raise InputError(ONE_SCALE)
        if self.lines is not None:
            return card_of(self.lines, self.card)
        if self.um_a_pixel is not None:
            given = Measured.read(self.um_a_pixel, "µm")
            if given.value <= 0:
                raise InputError(f"--um-a-pixel must be above 0, got {self.um_a_pixel}")
            return Measured(given.value / 1000, given.u / 1000)
        if not rule:
            return None
        if self.points is None or self.length_mm is None:
            raise InputError(ONE_SCALE)
        return points_on_rule(photo, self.points, self.length_mm)


def mm_per_px(asked: Scale | Measured | None, by: Callable[[Scale], Measured]) -> Measured | None:
    """Return millimetres a pixel as given, else as the scale in the photograph tells it."""
    return asked if asked is None or isinstance(asked, Measured) else by(asked)


def card_of(lines: tuple[str, str], lies: CardLies) -> ByCard:
    """Return the card as a scale; a line without its own ± has that of a calliper."""
    across, along = (line_of(each) for each in lines)
    above = Measured.read(lies.above_mm, "mm") if lies.above_mm else LEVEL
    printed = Print(across_mm=across, along_mm=along)
    return ByCard(printed=printed, above_mm=above, distance_mm=lies.distance_mm)


def line_of(written: str) -> Measured:
    """Return a line of the card as written; without its own ± that of a calliper."""
    line = Measured.parse(written, "mm")
    return line if line.u else Measured(line.value, CALLIPER_U_MM)


def points_on_rule(photo: LightPhotograph, points: Points, length_mm: str) -> ByPoints:
    """Return two places on a rule, in hundredths of width and height, as a scale.

    Raises
    ------
    InputError : they lie too near to each other, or the length is not above 0
    """
    return ByPoints(
        first_px=photo.at(*points[:2]),
        second_px=photo.at(*points[2:]),
        length_mm=Measured.read(length_mm, "mm"),
    )
