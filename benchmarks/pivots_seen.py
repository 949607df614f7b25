"""Pivots drawn in silhouette with known thickness, taper, bend and groove, measured.

Every fourth stands before a burnt-out ground. Targets: 95 % intervals hold 92 % or more; a straight
pivot is never called bent, a bow of 1.5 pixels or a groove of 1 pixel is always found.
"""

import argparse
import sys
from pathlib import Path

import numpy as np
from show import mark, say

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from drawn_pivots import DrawnPivot, drawn_pivot

from sideshake.photo.pivot import pivot


def drawn(number, rng):
    """Return a pivot to draw."""
    return DrawnPivot(
        thick=rng.uniform(20, 90),
        long=rng.uniform(100, 200),
        turn=rng.uniform(0, 6.28),
        taper=float(rng.choice([0, 0, 0.02, -0.03])),
        bow=1.5 * (number % 5 == 4),
        groove=1.0 * (number % 7 == 6),
        slope=rng.uniform(-0.4, 0.4),
        blur=rng.uniform(0.6, 1.2),
        ground=rng.uniform(1.05, 2.0) if number % 4 == 3 else rng.uniform(0.4, 0.75),
        electrons=rng.uniform(1500, 8000),
        seed=number,
    )


def off(given, found):
    """Return the error of the thickness at the middle of what was measured, in pixels."""
    x, y = np.subtract(found.middle, given.middle)
    along = x * np.cos(given.turn) - y * np.sin(given.turn)
    return found.diameter_px.value - given.thick - given.taper * along


def report(count):
    """Print what comes of so many pivots."""
    rng = np.random.default_rng(41)
    told = []
    for number in range(count):
        given = drawn(number, rng)
        reach = 0.2 * given.thick
        at = tuple(given.middle + rng.uniform(-reach, reach, 2))
        told.append((given, pivot(drawn_pivot(given), at)))
    for burnt in (False, True):
        tell([each for each in told if (each[0].ground > 1) == burnt and not each[0].groove], burnt)
    for name, is_so, called in (
        ("bent", lambda given: given.bow > 0, lambda found: found.bent),
        ("grooved", lambda given: given.groove > 0, lambda found: found.grooved or found.bent),
    ):
        there = [called(found) for given, found in told if is_so(given)]
        plain = [called(found) for given, found in told if not (given.bow or given.groove)]
        good = all(there) and not any(plain)
        say(f"{name}: {sum(there)} of {len(there)} found, {sum(plain)} of {len(plain)} sound ones "
            f"called so: {mark(good)}")  # fmt: skip


def tell(pairs, burnt):
    """Print the errors of the thickness."""
    errors = np.array([off(*pair) for pair in pairs])
    holds = np.mean([abs(off(*pair)) <= pair[1].diameter_px.expanded for pair in pairs])
    ground = "burnt-out ground" if burnt else "well exposed"
    told = (
        f"mean {errors.mean():+.3f}, sd {errors.std():.3f}, largest {np.abs(errors).max():.3f} px"
    )
    held = f"95 % holds {100 * holds:.0f} %: {mark(holds >= 0.92)}"
    say(f"{ground}, {len(pairs)} pivots: {told}; {held}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a third of the pivots")
    report(20 if parser.parse_args().quick else 60)
