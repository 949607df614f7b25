"""A piece of a photograph with lines drawn over it, and its title on paper (SVG)."""

import base64
import io
from dataclasses import dataclass
from html import escape

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from sideshake.drawings.style import INK, PAPER, SERIF
from sideshake.photo.light import LightPhotograph, PictureBox, coded

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Crop:
    """A piece of a photograph, drawn `zoom` times as large."""

    box: PictureBox
    light: NDArray[np.float32]
    zoom: float

    @property
    def wide(self) -> float:
        """Return how wide it is drawn."""
        return (self.box.right - self.box.left) * self.zoom

    @property
    def high(self) -> float:
        """Return how high it is drawn."""
        return (self.box.bottom - self.box.top) * self.zoom

    def shown(self, places: Points) -> Points:
        """Return places of the photograph, shape (n, 2), as places of the drawing.

        A pixel's middle is its middle.
        """
        return (places - (self.box.left, self.box.top) + 0.5) * self.zoom

    def shown_at(self, x: float, y: float) -> tuple[float, float]:
        """Return one place of the photograph as a place of the drawing."""
        ((across, down),) = self.shown(np.array([[x, y]])).tolist()
        return across, down

    def image(self) -> str:
        """Return the piece as an image: each pixel as it is where enlarged, else made smaller."""
        grey = Image.fromarray(np.round(coded(self.light) * 255).astype(np.uint8))
        if self.zoom < 1:
            grey.thumbnail((round(self.wide), round(self.high)))
        stream = io.BytesIO()
        grey.save(stream, "PNG")
        data = base64.b64encode(stream.getvalue()).decode()
        return (
            f'<image width="{self.wide:.1f}" height="{self.high:.1f}" '
            f'style="image-rendering:{"pixelated" if self.zoom >= 1 else "auto"}" '
            f'href="data:image/png;base64,{data}"/>'
        )


def crop_round(
    photo: LightPhotograph, middle: tuple[float, float], reach_px: float, *, to_px: int, whole: bool
) -> Crop:
    """Return the square round a place, enlarged until its longer side is so long.

    `whole` keeps to whole steps, each pixel one or more large.
    """
    box = photo.around(*middle, reach_px)
    longest = max(box.right - box.left, box.bottom - box.top)
    zoom = max(1, to_px // longest) if whole else to_px / longest
    return Crop(box=box, light=photo.strip(box).light, zoom=zoom)


def page(body: list[str], wide: float, high: float, title: str) -> str:
    """Return a drawing under its title, on paper."""
    name = escape(title)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high + 40:g}" '
        f'width="{wide:g}" height="{high + 40:g}" role="img" aria-label="{name}">'
        f'<rect width="100%" height="100%" fill="{PAPER}"/>'
        f'<text x="10" y="26" font-family="{SERIF}" font-size="17" fill="{INK}">{name}</text>'
        f'<g transform="translate(0 40)">{"".join(body)}</g></svg>\n'
    )
