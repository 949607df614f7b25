"""Holes beside the card, photographed by the second camera (tests/second_photo), and measured.

Targets: size within 8 um and oval within 4 um (95 %), direction within 5 degrees of an oval of
20 um or more; 95 % intervals hold 92 to 98 %; a round hole is called oval in 5 % at most.
"""

import argparse
import sys
from pathlib import Path

import numpy as np
from show import mark, say

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from second_photo import drawn_plate, shoot

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.card import Print
from sideshake.photo.hole import PhotoView, measure_hole
from sideshake.photo.light import photograph
from sideshake.photo.scale import ByCard

EXACT = Measured(100.0, 0.01)
SURELY = 0.95


def measured(seed):
    """Return errors of one drawn hole, or why it was refused."""
    plate, camera, sensor = drawn_plate(np.random.default_rng(seed))
    seen = shoot(plate, camera, sensor)
    truth = seen.truth
    card = ByCard(
        printed=Print(across_mm=EXACT, along_mm=EXACT), distance_mm=0.9 * camera.distance_mm
    )
    try:
        found = measure_hole(photograph(seen.file), truth.middle_px, card, view=PhotoView())
    except NotEnough as why:
        return str(why)
    mean, oval = 0.5 * (truth.long_mm + truth.short_mm), truth.long_mm - truth.short_mm
    size = 1000 * (found.mean_mm.value - mean)
    off = 1000 * (found.long_mm.value - found.short_mm.value - oval)
    called = found.oval is not None and found.oval.real
    turned = None
    if found.direction_deg is not None:
        turned = (found.direction_deg.value - truth.direction_deg + 90) % 180 - 90
    return size, found.mean_mm.holds(mean), off, 1000 * oval, called, turned


def report(count):
    """Print what comes of so many holes."""
    every = [measured(seed) for seed in range(count)]
    good = [each for each in every if not isinstance(each, str)]
    for why in sorted({each for each in every if isinstance(each, str)}):
        say(f"  refused: {why}")
    size, off = (np.array([each[place] for each in good]) for place in (0, 2))
    holds = np.mean([each[1] for each in good])
    say(f"Second camera: {len(good)} of {count} holes measured")
    told = (
        f"size: mean {size.mean():+.1f}, sd {size.std():.1f}, largest {np.abs(size).max():.1f} um"
    )
    good_size = mark(np.quantile(np.abs(size), 0.95) <= 8)
    say(f"{told}, 95 % interval holds {100 * holds:.0f} %: {good_size}")
    told = f"oval: mean {off.mean():+.1f}, sd {off.std():.1f}, largest {np.abs(off).max():.1f} um"
    say(f"{told}: {mark(np.quantile(np.abs(off), 0.95) <= 4)}")
    tell_ovals(good)


def tell_ovals(good):
    """Print which holes were called oval, and whether the way was right."""
    round_ones = [each for each in good if each[3] == 0]
    ovals = [each for each in good if each[3] >= 20 - 1e-6]
    false = sum(each[4] for each in round_ones)
    say(f"round called oval: {false} of {len(round_ones)}: {mark(false <= 0.05 * len(round_ones))}")
    found = sum(each[4] for each in ovals)
    say(f"oval of 20 um or more found: {found} of {len(ovals)}: {mark(found >= 0.98 * len(ovals))}")
    ways = np.array([abs(each[5]) for each in ovals if each[5] is not None])
    if len(ways):
        within = np.mean(ways <= 5)
        say(f"direction: largest error {ways.max():.1f} degrees: {mark(within >= SURELY)}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a tenth of the holes")
    report(6 if parser.parse_args().quick else 60)
