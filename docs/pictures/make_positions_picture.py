"""Make docs/pictures/positions.svg: an invented watch before and after the work.

python docs/pictures/make_positions_picture.py
"""

from pathlib import Path

from sideshake.core.quantities import Measured
from sideshake.drawings.page import svg_text
from sideshake.drawings.positions import DrawnRound, positions_chart
from sideshake.timing.positions.summary import HeardRound, InPosition, Position

BEFORE = {
    "CH": (13.2, 251), "FH": (1.6, 268), "3H": (-6.4, 214), "6H": (-21.8, 209),
    "9H": (-11.0, 216), "12H": (-4.1, 218),
}  # fmt: skip
AFTER = {
    "CH": (5.1, 287), "FH": (6.3, 284), "3H": (2.2, 246), "6H": (-2.9, 243),
    "9H": (1.4, 247), "12H": (3.0, 245),
}  # fmt: skip


def round_of(figures: dict[str, tuple[float, float]]) -> HeardRound:
    """Return a round heard as half a minute each lets it be heard."""
    readings = tuple(
        InPosition(
            position=Position(position),
            rate_s_per_day=Measured(rate, 0.4),
            amplitude_deg=Measured(swing, 2.0),
            beat_error_ms=None,
        )
        for position, (rate, swing) in figures.items()
    )
    return HeardRound(readings=readings, clock_u_s_per_day=0.1, wound="full", lift_share_u=0.005)


def picture() -> str:
    """Return the picture as SVG."""
    return svg_text(
        positions_chart(
            [
                DrawnRound(name="before the work", heard=round_of(BEFORE)),
                DrawnRound(name="after", heard=round_of(AFTER)),
            ]
        )
    )


if __name__ == "__main__":
    Path(__file__).with_name("positions.svg").write_text(picture(), encoding="utf-8")
