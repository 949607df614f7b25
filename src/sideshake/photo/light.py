"""A photograph as light: linear, in pieces, upright; memory stays that of one decoded picture.

A camera codes light by a curve (sRGB, IEC 61966-2-1); half way up an edge in the code is not half
way in the light, and an edge is where half of it is covered. So the curve is undone. Pixels are
counted from 0 at the middle of the upper left one, x right and y down, in the upright picture.
A telephone's own contrast curve is in no file: it stays in the light, and in the uncertainty.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import ExifTags, Image

from sideshake.core.errors import InputError
from sideshake.photo.intake import TURNED_A_QUARTER, Source, whole
from sideshake.photo.kinds import PictureKind, kind_of
from sideshake.photo.opening import Limits, decoding, exif_value, opened, orientation
from sideshake.photo.thumbnail import TURNS, on_paper, without_palette

Light = NDArray[np.float32]

WEIGHTS = (0.2126, 0.7152, 0.0722)
"""Of red, green and blue in the light (IEC 61966-2-1, ITU-R BT.709)."""
SMALL_PX = 1200
"""Longest side of the copy on which things are looked for."""


def linear(coded: NDArray[np.floating]) -> NDArray[np.float64]:
    """Return the light of coded values, both 0 to 1.

    References
    ----------
    IEC 61966-2-1 (sRGB), 5.2

    Examples
    --------
    >>> linear(np.array([0.0, 0.5, 1.0])).round(4).tolist()
    [0.0, 0.214, 1.0]
    """
    value = np.asarray(coded, float)
    light: NDArray[np.float64] = np.where(
        value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4
    )
    return light


def coded(light: NDArray[np.floating]) -> NDArray[np.float64]:
    """Return the code of light, both 0 to 1: the inverse of `linear`.

    Examples
    --------
    >>> coded(np.array([0.0, 0.21404, 1.0])).round(4).tolist()
    [0.0, 0.5, 1.0]
    """
    value = np.clip(np.asarray(light, float), 0.0, 1.0)
    code: NDArray[np.float64] = np.where(
        value <= 0.0031308, value * 12.92, 1.055 * value ** (1 / 2.4) - 0.055
    )
    return code


CODES = linear(np.arange(256) / 255.0)
TABLES = tuple((CODES * weight).astype(np.float32) for weight in WEIGHTS)
GREY_TABLE = CODES.astype(np.float32)


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureBox:
    """A piece of a picture: the first column and row, and those after the last."""

    left: int
    top: int
    right: int
    bottom: int

    def __post_init__(self) -> None:
        if not (0 <= self.left < self.right and 0 <= self.top < self.bottom):
            raise InputError(f"a piece of a picture holds at least one pixel, got {self}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """Light of a piece of a picture, and how its pixels lie in the whole.

    A pixel (column, row) of the patch lies at x = left + step * column in the whole picture, y
    likewise from top; `step` is above 1 in a small copy, whose pixels are means of step by step.
    """

    light: Light
    left: float = 0.0
    top: float = 0.0
    step: float = 1.0

    def whole_xy(self, column_row: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return places in the patch, shape (n, 2), as places in the whole picture."""
        return column_row * self.step + (self.left, self.top)

    def own_xy(self, whole_xy: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return places in the whole picture, shape (n, 2), as places in the patch."""
        return (whole_xy - (self.left, self.top)) / self.step

    def nearest(self, at: tuple[float, float]) -> tuple[float, float]:
        """Return a place in the whole picture as the nearest one in the patch."""
        high, wide = self.light.shape
        x, y = self.own_xy(np.array([at]))[0]
        return (
            float(np.clip(x, -0.5, wide - 0.5)),
            float(np.clip(y, -0.5, high - 0.5)),
        )


def require_within(at: tuple[float, float], size: tuple[int, int]) -> None:
    """Refuse a place outside a picture of this width and height.

    Pixels are counted from the middle of the first, so the picture begins at -0.5.

    Raises
    ------
    InputError : it lies outside
    """
    x, y = at
    wide, high = size
    if not (-0.5 <= x <= wide - 0.5 and -0.5 <= y <= high - 0.5):
        raise InputError(
            f"the place {x:.0f}, {y:.0f} lies outside the photograph, which is {wide} pixels wide "
            f"and {high} high"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LightPhotograph:
    """A decoded photograph of which pieces are handed out as light; never all of it as floats.

    `rendering` is what EXIF says of special processing (tag 41985), 0 where it says nothing;
    `from_camera` whether EXIF names a camera or an exposure.
    """

    picture: Image.Image
    turn: int
    kind: PictureKind
    rendering: int = 0
    from_camera: bool = False

    @property
    def width_px(self) -> int:
        """Return the width of the upright picture."""
        return self.picture.size[self.turn in TURNED_A_QUARTER]

    @property
    def height_px(self) -> int:
        """Return the height of the upright picture."""
        return self.picture.size[self.turn not in TURNED_A_QUARTER]

    @property
    def size_px(self) -> tuple[int, int]:
        """Return width and height of the upright picture."""
        return self.width_px, self.height_px

    def at(self, x_percent: float, y_percent: float) -> tuple[float, float]:
        """Return the pixel at hundredths of width and height, as points of photographs are kept.

        Raises
        ------
        InputError : not within 0 to 100
        """
        if not (0 <= x_percent <= 100 and 0 <= y_percent <= 100):
            raise InputError(
                f"a place in a photograph is 0 to 100 hundredths of its width and height, got "
                f"{x_percent:g} and {y_percent:g}"
            )
        return (
            x_percent / 100 * self.width_px - 0.5,
            y_percent / 100 * self.height_px - 0.5,
        )

    def require_place(self, at: tuple[float, float]) -> None:
        """Refuse a place outside the picture, in pixels; its very edge is within.

        Raises
        ------
        InputError : it lies outside
        """
        require_within(at, self.size_px)

    def around(self, x_px: float, y_px: float, reach_px: float) -> PictureBox:
        """Return the square round a place, cut off where the picture ends."""
        wide, high = self.width_px, self.height_px
        left, top = max(0, int(x_px - reach_px)), max(0, int(y_px - reach_px))
        return PictureBox(
            left=min(left, wide - 1),
            top=min(top, high - 1),
            right=min(wide, max(left + 1, int(x_px + reach_px) + 2)),
            bottom=min(high, max(top + 1, int(y_px + reach_px) + 2)),
        )

    def strip(self, box: PictureBox) -> Patch:
        """Return a piece at full size.

        Raises
        ------
        InputError : the piece reaches beyond the picture
        """
        if box.right > self.width_px or box.bottom > self.height_px:
            raise InputError(
                f"{box} reaches beyond a picture of {self.width_px} by {self.height_px} pixels"
            )
        return Patch(light=light_of(self._codes(box)), left=box.left, top=box.top)

    def coarse(self, box: PictureBox, step: int) -> Patch:
        """Return a piece of which step by step pixels are averaged (as coded: quick, a bit dark).

        Rows and columns that fill no step are left out at the right and below.
        """
        middle = (step - 1) / 2
        return Patch(
            light=light_of(self._codes(box, step)),
            left=box.left + middle,
            top=box.top + middle,
            step=step,
        )

    def colours(self, box: PictureBox, step: int = 1) -> Light:
        """Return the light of each channel of a piece, shape (rows, columns, 1 or 3).

        Above `step` 1 as `coarse`; places are then counted as there.
        """
        codes = self._codes(box, step)
        light: Light = GREY_TABLE[codes[..., None] if codes.ndim == 2 else codes]
        return light

    def _codes(self, box: PictureBox, step: int = 1) -> NDArray[np.uint8]:
        """Return a piece as coded, upright, whole steps of it averaged."""
        lies = lying(whole_steps(box, step), self.turn, self.size_px)
        piece = self.picture.crop(lies) if step == 1 else self.picture.reduce(step, lies)
        return np.asarray(piece.transpose(TURNS[self.turn]) if self.turn in TURNS else piece)

    def small(self, longest_px: int = SMALL_PX) -> Patch:
        """Return the whole picture, so many pixels averaged that it is no longer than wanted."""
        wide, high = self.width_px, self.height_px
        step = max(1, min(-(-max(wide, high) // longest_px), wide, high))
        return self.coarse(PictureBox(left=0, top=0, right=wide, bottom=high), step)


def photograph(source: Source, *, limits: Limits | None = None) -> LightPhotograph:
    """Return a photograph decoded once, in grey or RGB, 8 bits.

    Parameters
    ----------
    source : a file's path, an open file or its bytes; JPEG, PNG, WebP or HEIC

    Raises
    ------
    InputError : not such a picture, damaged, or too large
    """
    limits = limits or Limits()
    data = whole(source, limits)
    kind = kind_of(data)
    picture = opened(data, limits)
    rendered = exif_value(picture, ExifTags.Base.CustomRendered, directory=ExifTags.IFD.Exif)
    with decoding(kind):
        turn = orientation(picture)
        camera = names_a_camera(picture)
        plain = without_palette(picture)
        if plain.mode != "L":
            plain = on_paper(plain, None) if plain.mode == "RGBA" else plain.convert("RGB")
        plain.load()
    return LightPhotograph(
        picture=plain,
        turn=turn,
        kind=kind,
        rendering=rendered if isinstance(rendered, int) else 0,
        from_camera=camera,
    )


def names_a_camera(picture: Image.Image) -> bool:
    """Return whether EXIF names a camera's maker, its model or how long was exposed."""
    named = [exif_value(picture, tag) for tag in (ExifTags.Base.Make, ExifTags.Base.Model)]
    exposed = exif_value(picture, ExifTags.Base.ExposureTime, directory=ExifTags.IFD.Exif)
    return any(named) or exposed is not None


def light_of(codes: NDArray[np.uint8]) -> Light:
    """Return the light of a grey or RGB piece."""
    tables = (GREY_TABLE,) if codes.ndim == 2 else TABLES
    planes = codes[..., None] if codes.ndim == 2 else codes
    light = np.zeros(planes.shape[:2], np.float32)
    for place, table in enumerate(tables):
        light += table[planes[..., place]]
    return light


def whole_steps(box: PictureBox, step: int) -> PictureBox:
    """Return the piece without the rows and columns at the right and below that fill no step."""
    wide, high = box.right - box.left, box.bottom - box.top
    return PictureBox(
        left=box.left,
        top=box.top,
        right=box.left + max(wide // step * step, 1),
        bottom=box.top + max(high // step * step, 1),
    )


def lying(box: PictureBox, turn: int, upright: tuple[int, int]) -> tuple[int, int, int, int]:
    """Return where a piece of the upright picture lies in the picture as it was stored.

    References
    ----------
    Exif 2.32, tag 274: how columns and rows were stored, 1 to 8
    """
    wide, high = upright
    columns, mirrored_columns = (box.left, box.right), (wide - box.right, wide - box.left)
    rows, mirrored_rows = (box.top, box.bottom), (high - box.bottom, high - box.top)
    across, down = {
        2: (mirrored_columns, rows),
        3: (mirrored_columns, mirrored_rows),
        4: (columns, mirrored_rows),
        5: (rows, columns),
        6: (rows, mirrored_columns),
        7: (mirrored_rows, mirrored_columns),
        8: (mirrored_rows, columns),
    }.get(turn, (columns, rows))
    return across[0], down[0], across[1], down[1]
