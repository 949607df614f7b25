"""A measured hole as sizes: by two axes and a direction where it is oval, else by one diameter."""

from sideshake.core.quantities import Measured
from sideshake.photo.hole import HoleSeen, axes_of
from sideshake.photo.turned import TurnedPhotographs

ROUND, OVAL = ("hole_mm",), ("hole_long_mm", "hole_short_mm", "long_axis_deg")
"""The lines of a hole in a table of measurements; the one or the other."""


def sizes_of(hole: HoleSeen, together: TurnedPhotographs | None = None) -> dict[str, Measured]:
    """Return a hole's sizes by the names of their lines.

    Parameters
    ----------
    hole : as one photograph shows it
    together : what several photographs with the part turned between tell, if there are several
    """
    mean = together.mean_mm if together else hole.mean_mm
    oval = together.wear.oval_mm if together else hole.oval_mm
    way = together.wear.direction_deg if together else hole.direction_deg
    if oval is None or way is None:
        return dict.fromkeys(ROUND, mean)
    return dict(zip(OVAL, (*axes_of(mean, oval), way), strict=True))
