"""Random barrels as plain dicts, seeded, such as a watch may have."""

from typing import Any

import numpy as np


def random_barrels(count: int = 200, seed: int = 12) -> list[dict[str, Any]]:
    """Return barrels as dicts of plain numbers, words and None, the same for the same seed.

    Half have the drum's own bearings, half shoulders, half a neighbour; of the arbor's holes four
    in ten are worn oval, and half the barrels have bell-mouthed holes.
    """
    rng = np.random.default_rng(seed)
    return [_barrel(rng) for _ in range(count)]


def _barrel(rng: np.random.Generator) -> dict[str, Any]:
    span = _between(rng, 1.5, 5.0)
    mouth = str(rng.choice(["cylinder", "bell"]))
    rim = _between(rng, 3.5, 8.0)
    teeth = span * _between(rng, 0.1, 0.7)
    inner = _inner(rng, span) if rng.random() < 0.5 else None
    return {
        "span_mm": span,
        "lower": _hole(rng, length_mm=_between(rng, 0.0, min(0.8, span / 3)), mouth=mouth),
        "upper": _hole(rng, length_mm=_between(rng, 0.0, min(0.8, span / 3)), mouth=mouth),
        "shoulders": _shoulders(rng) if rng.random() < 0.5 else None,
        "endshake_mm": _between(rng, 0.01, 0.08),
        "inner": inner,
        "drum_endshake_mm": 0.0 if inner is None else _between(rng, 0.02, 0.08),
        "torque_nmm": _between(rng, 2.0, 15.0),
        "turns": str(rng.choice(["clockwise", "counter-clockwise"])),
        "pressure_deg": 15.0,
        "teeth_radius_mm": rim - _between(rng, 0.0, 0.3),
        "teeth_height_mm": teeth,
        "centre_wheel_deg": _between(rng, 0.0, 360.0),
        "ratchet_radius_mm": rim * _between(rng, 0.5, 0.85),
        "ratchet_height_mm": span * _between(rng, 1.08, 1.35),
        "click_deg": _between(rng, 0.0, 360.0),
        "crown_wheel_deg": _between(rng, 0.0, 360.0),
        "rim_radius_mm": rim,
        "gap_plate_mm": _between(rng, 0.05, 0.35),
        "gap_bridge_mm": _between(rng, 0.05, 0.35),
        "neighbour": _neighbour(rng, teeth) if rng.random() < 0.5 else None,
    }


def _hole(rng: np.random.Generator, *, length_mm: float, mouth: str) -> dict[str, Any]:
    pivot = _between(rng, 0.5, 1.6)
    plays = sorted(_play(rng) for _ in range(2))
    hole = {"pivot_mm": pivot, "length_mm": length_mm, "mouth": mouth}
    if rng.random() < 0.6:
        return {**hole, "hole_mm": round(pivot + plays[0], 4)}
    long_axis = _between(rng, 0.0, 180.0)
    sizes = {"hole_long_mm": pivot + plays[1], "hole_short_mm": pivot + plays[0]}
    return {**hole, **{k: round(v, 4) for k, v in sizes.items()}, "long_axis_deg": long_axis}


def _inner(rng: np.random.Generator, span_mm: float) -> dict[str, Any]:
    length = span_mm * _between(rng, 0.5, 0.85)
    pivots = [_between(rng, 0.8, 1.6) for _ in range(2)]
    floor, lid = (
        {"pivot_mm": each, "hole_mm": round(each + _play(rng, most_mm=0.08), 4)} for each in pivots
    )
    return {
        "floor": floor,
        "lid": lid,
        "lid_to_floor_mm": round(length, 4),
        "floor_height_mm": _between(rng, 0.0, span_mm - length),
        "loads": "own",
    }


def _shoulders(rng: np.random.Generator) -> dict[str, float]:
    return {"above_mm": _between(rng, 1.0, 2.5), "below_mm": _between(rng, 1.0, 2.5)}


def _neighbour(rng: np.random.Generator, teeth_mm: float) -> dict[str, float]:
    return {
        "place_deg": _between(rng, 0.0, 360.0),
        "height_mm": teeth_mm,
        "gap_mm": _between(rng, 0.05, 0.3),
    }


def _play(rng: np.random.Generator, most_mm: float = 0.15) -> float:
    return float(np.exp(rng.uniform(np.log(0.01), np.log(most_mm))))


def _between(rng: np.random.Generator, least: float, most: float) -> float:
    return round(float(rng.uniform(least, most)), 4)
