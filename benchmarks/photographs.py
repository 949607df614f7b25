"""Holes in photographs: drawn ones with the truth beside, spoilt ones, rings and coins.

The holes are drawn and photographed by `tests/photo/rendered.py`; how wide every error is drawn
stands in `tests/photo/holes.py` (our assumptions). Rings and coins lie in `../shared/data/photo`.
"""

import argparse
import csv
import math
import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from show import mark, say, show

ROOT = Path(__file__).resolve().parents[1]
sys.path.append(str(ROOT))

from sideshake.core.errors import NotEnough  # noqa: E402 - the tests' folder comes first
from sideshake.core.quantities import Measured  # noqa: E402
from sideshake.photo.hole import PhotoView, measure_hole, seen  # noqa: E402
from sideshake.photo.light import photograph  # noqa: E402
from sideshake.photo.scale import ByRound, Scaled  # noqa: E402
from sideshake.photo.trace import Coding, Traced  # noqa: E402
from tests.photo.holes import Trial, drawn_scene, measured, still  # noqa: E402
from tests.photo.hostile import spoilt_trial  # noqa: E402
from tests.real_rounds import FOLDER as PHOTOS  # noqa: E402
from tests.real_rounds import PRESSED, pressed, ring_rims  # noqa: E402

FIRST_SEED = 10_000
REFERENCES = (0, 5, 10)


def main() -> None:
    """Print all tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a tenth of the holes")
    share = 10 if parser.parse_args().quick else 1
    drawn_holes(300 // share)
    ovals(200 // share)
    hostile(200 // share)
    if PHOTOS.exists():
        rings()
        coins()
    else:
        say(f"no photographs in {PHOTOS}: rings and coins are left out")


def drawn_holes(count: int) -> None:
    """Print how far sizes and ovals are off, and how often the interval holds the truth."""
    seeds = range(FIRST_SEED, FIRST_SEED + count)
    rows = []
    for name, trials in (
        ("optics, noise and fit alone", [measured(still(drawn_scene(each))) for each in seeds]),
        ("every error of the budget", [measured(drawn_scene(each)) for each in seeds]),
    ):
        seen = [each for each in trials if each.seen]
        size, oval = (np.std([getattr(each, off) for each in seen])
                      for off in ("size_off_px", "oval_off_px"))  # fmt: skip
        held = [np.mean([getattr(each, which) for each in seen])
                for which in ("size_held", "oval_held")]  # fmt: skip
        rows.append([name, str(len(seen)), str(len(trials) - len(seen)), f"{size:.3f}",
                     f"{oval:.3f}", f"{100 * held[0]:.1f}", f"{100 * held[1]:.1f}"])  # fmt: skip
    columns = ["", "holes", "refused", "size sd (px)", "oval sd (px)", "size held (%)",
               "oval held (%)"]  # fmt: skip
    show("Drawn holes with the card; bars 0.12 px, 0.2 px, 92 to 98 %", columns, rows)


def ovals(count: int) -> None:
    """Print how often a round hole is called oval, and an oval of 20 um found."""
    rows = []
    for name, oval_mm, seed in (("round", 0.0, 20_000), ("oval by 20 µm", 0.02, 30_000)):
        trials = [measured(drawn_scene(seed + each, oval_mm=oval_mm)) for each in range(count)]
        seen = [each for each in trials if each.seen]
        called = float(np.mean([each.seen.oval.real for each in seen]))
        off = [each.direction_off_deg for each in seen] if oval_mm else [math.nan]
        good = called >= 0.98 if oval_mm else called <= 0.05
        rows.append([name, str(len(seen)), f"{100 * called:.1f}",
                     f"{np.quantile(off, 0.95):.1f}", mark(good)])  # fmt: skip
    columns = ["", "holes", "called oval (%)", "95 % of directions within (°)", ""]
    show("Is it oval? bars: 5 % at most of round ones, 98 % at least of 20 µm", columns, rows)


def hostile(count: int) -> None:
    """Print what came of spoilt photographs."""
    trials: dict[str, list[Trial]] = {}
    for seed in range(FIRST_SEED, FIRST_SEED + count):
        kind, trial = spoilt_trial(seed)
        trials.setdefault(kind, []).append(trial)
    rows = []
    for kind, each in sorted(trials.items()):
        seen = [trial for trial in each if trial.seen]
        worst = max((trial.size_intervals for trial in seen), default=0.0)
        rows.append([kind, str(len(each)), str(len(each) - len(seen)), f"{worst:.1f}",
                     mark(worst <= 3)])  # fmt: skip
    show("Spoilt photographs; bar: none beyond three intervals",
         ["", "photographs", "refused", "worst (intervals)", ""], rows)  # fmt: skip


def rings() -> None:
    """Print rings behind light against the coordinate machine."""
    with (PHOTOS / "rings/cmm.csv").open() as stream:
        table = list(csv.DictReader(stream))
    rims = [ring_rims(int(row["part"])) for row in table]
    mm = np.array([[float(row["outer_mm"]), float(row["inner_mm"])] for row in table])
    px = np.array([[2 * rim.fit.ellipse.r for rim in pair] for pair in rims])
    scale, offset, _ = learnt(mm, px)
    off = 1000 * (mm - px * scale - RING_SIDES * offset)
    own = 1000 * np.median(mm[:, 1] - np.median(mm[:, 0] / px[:, 0]) * px[:, 1])
    held = rings_held(rims, mm, px)
    rows = [
        ring_row("outer, scale and one offset learnt", off[:, 0], 2.0, held[0], 20),
        ring_row("inner, the same", off[:, 1], 3.0, held[1], 18),
    ]
    show(f"{len(px)} rings behind light",
         ["", "median off (µm)", "worst (µm)", "", "held, learnt from the others", ""],
         rows)  # fmt: skip
    say(f"Offset of both edges {1000 * offset:.1f} µm of diameter; inner bias, scale from the "
        f"outer rims alone and nothing learnt: {own:.1f} µm (bar 5).")  # fmt: skip


RING_SIDES = np.array([1.0, -1.0])
"""Burnt-out ground eats into the outside and widens the hole by as much."""


def learnt(mm: NDArray[np.float64], px: NDArray[np.float64]) -> tuple[float, float, float]:
    """Return mm a pixel, one offset of both edges, and the scale's relative uncertainty."""
    columns = np.column_stack([px.ravel(), np.tile(RING_SIDES, len(px))])
    answer, missed, *_ = np.linalg.lstsq(columns, mm.ravel(), rcond=None)
    variance = float(missed[0]) / (mm.size - 2)
    u = math.sqrt(variance * np.linalg.inv(columns.T @ columns)[0, 0])
    return float(answer[0]), float(answer[1]), u / float(answer[0])


def rings_held(
    rims: Sequence[tuple[Traced, Traced]], mm: NDArray[np.float64], px: NDArray[np.float64]
) -> list[int]:
    """Return in how many rings the 95 % interval holds the outer, and the inner diameter.

    Scale and offset are learnt from all the other rings.
    """
    held = [0, 0]
    for number, pair in enumerate(rims):
        others = np.arange(len(rims)) != number
        scale, offset, relative_u = learnt(mm[others], px[others])
        by = Scaled(mm_a_pixel=scale, relative_u=relative_u, tilt_rad=0.0)
        for side, rim in enumerate(pair):
            told = seen(rim, by, PhotoView(coding=Coding.LINEAR), behind=True).mean_mm
            moved = Measured(told.value + RING_SIDES[side] * offset, told.u)
            held[side] += moved.holds(mm[number, side])
    return held


def ring_row(name: str, off_um: Sequence[float], bar_um: float, held: int, least: int) -> list[str]:
    """Return one row of rings; the bar for what is held is of 22."""
    middle = float(np.median(np.abs(off_um)))
    enough = held / len(off_um) >= least / 22
    return [name, f"{middle:.2f}", f"{np.abs(off_um).max():.1f}", mark(middle <= bar_um),
            f"{held} of {len(off_um)}", mark(enough)]  # fmt: skip


def coins() -> None:
    """Print coins, one given as scale and the others pressed."""
    with (PHOTOS / "coins/coins.csv").open() as stream:
        sizes = {row["file"]: float(row["diameter_mm"]) for row in csv.DictReader(stream)}
    rows = []
    for name in PRESSED:
        photo = photograph(PHOTOS / "coins" / name)
        places, true = pressed(name, photo.width_px), Measured(sizes[name], 0.02)
        seen = [coin(photo, place, places[number], true) for number in REFERENCES
                for place in places if place != places[number]]  # fmt: skip
        good = [each for each in seen if each]
        off = [100 * abs(each.value / true.value - 1) for each in good]
        wide = [100 * each.expanded / each.value for each in good]
        held = [each.holds(true.value) for each in good]
        counts = [name, str(len(good)), str(len(seen) - len(good))]
        rows.append([*counts, f"{np.median(off):.2f}", f"{np.median(wide):.1f}",
                     f"{100 * np.mean(held):.0f}"] if good else [*counts, "", "", ""])  # fmt: skip
    show("Coins, hand-held, another coin as scale; bars 0.6 % and 90 %",
         ["", "measured", "refused", "median off (%)", "median ± (%)", "held (%)"],
         rows)  # fmt: skip


def coin(photo, place, known_at, true):
    """Return what a coin measures by another as scale, none where it is refused."""
    known = ByRound(at_px=known_at, diameter_mm=true, outline=True)
    try:
        return measure_hole(photo, place, known, view=PhotoView(outline=True)).mean_mm
    except NotEnough:
        return None


if __name__ == "__main__":
    main()
