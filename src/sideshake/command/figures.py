"""A reading in figures, for other programs: JSON and CSV."""

import csv
import io
from typing import Any

from sideshake.core.quantities import Measured
from sideshake.sound.line import LEAST_WEIGHT
from sideshake.timing.nominal import per_hour
from sideshake.timing.quality_flags import quality_flags
from sideshake.timing.reading import Reading
from sideshake.timing.turn.fold import WheelTurn
from sideshake.timing.turn.words import repeats

BEAT_COLUMNS = ("number", "side", "arrival_s", "lateness_ms", "strength", "counted")


def reading_figures(name: str, reading: Reading, turn: WheelTurn | None) -> dict[str, Any]:
    """Return all figures of a reading; each measured one with u and its 95 % interval."""
    heard = reading.heard
    return {
        "file": name,
        "duration_s": heard.duration_s,
        "sample_rate_hz": heard.rate_hz,
        "beats_per_hour": reading.beats_per_hour,
        "beats_per_hour_from": reading.beats_per_hour_from,
        "beats_per_hour_heard": measured(per_hour(reading.beat_s)),
        "beat_s": measured(reading.beat_s),
        "rate_s_per_day": measured(reading.rate_s_per_day),
        "rate_alone_s_per_day": measured(reading.rate_alone_s_per_day),
        "amplitude_deg": measured(reading.amplitude_deg),
        "beat_error_ms": measured(reading.beat_error_ms),
        "out_of_beat_deg": measured(reading.out_of_beat_deg),
        "lift_angle_deg": measured(reading.lift_angle_deg),
        "clock_fast_ppm": measured(reading.clock.fast_ppm),
        "clock_checked": reading.clock.checked,
        "scatter_ms": reading.scatter_ms,
        "clearness_db": reading.clearness_db,
        "beats_heard": heard.beats.count,
        "beats_missing": heard.beats.missing,
        "amplitudes": {
            "at_s": reading.amplitudes_at_s.tolist(),
            "deg": reading.amplitudes_deg.tolist(),
        },
        "turn": None if turn is None else turn_figures(turn),
        "doubts": [{"kind": each.kind.value, "text": each.text} for each in quality_flags(reading)],
    }


def turn_figures(turn: WheelTurn) -> dict[str, Any]:
    """Return one turn of the escape wheel in figures, a value for each of its beats."""
    return {
        "escape_teeth": turn.escape_teeth,
        "turns": turn.turns,
        "late_ms": (turn.late_s * 1e3).tolist(),
        "u_ms": (turn.u_s * 1e3).tolist(),
        "beats": turn.beats.tolist(),
        "stands_out": turn.stands_out.tolist(),
        "scatter_ms": turn.scatter_s * 1e3,
        "sentences": repeats(turn),
    }


def measured(value: Measured | None) -> dict[str, float] | None:
    """Return a measured value with its standard uncertainty and 95 % interval."""
    if value is None:
        return None
    low, high = value.value - value.expanded, value.value + value.expanded
    return {"value": value.value, "u": value.u, "low_95": low, "high_95": high}


def beats_csv(reading: Reading) -> str:
    """Return every beat as CSV."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(BEAT_COLUMNS)
    beats = reading.heard.beats
    rows = zip(
        beats.index.tolist(), beats.side.tolist(), beats.arrival_s.tolist(),
        reading.lateness_s.tolist(), beats.strength.tolist(), reading.weight.tolist(), strict=True,
    )  # fmt: skip
    for number, side, arrival_s, late_s, strength, weight in rows:
        table.writerow(
            (number, "tock" if side else "tick", f"{arrival_s:.7f}", f"{late_s * 1e3:.4f}",
             f"{strength:.3f}", "yes" if weight > LEAST_WEIGHT else "no")
        )  # fmt: skip
    return text.getvalue()
