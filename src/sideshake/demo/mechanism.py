"""What the season needs to know of a calibre: its beats, its lift angle, how it should go."""

from dataclasses import dataclass
from functools import cache

from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_file import shipped_sheet

TYPICAL_LYING_DEG, TYPICAL_HANGING_DEG = 285.0, 247.0
"""The amplitudes for which the wordings' ranges are written."""
UNKNOWN_BEATS, UNKNOWN_LIFT_DEG = 18000, 52.0
"""For a movement without a sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibre:
    """A calibre as the season uses it."""

    beats_per_hour: int
    lift_angle_deg: float
    lying_deg: float
    hanging_deg: float
    fall_in_a_day_deg: float
    reserve_h: float
    chronograph: bool
    calendar: bool
    automatic: bool
    sheet: CalibreSheet | None = None


@cache
def calibre_of(name: str) -> Calibre:
    """Return what the shipped sheet says of the calibre; a usual movement when it has no sheet."""
    if not name:
        return Calibre(
            beats_per_hour=UNKNOWN_BEATS, lift_angle_deg=UNKNOWN_LIFT_DEG,
            lying_deg=TYPICAL_LYING_DEG, hanging_deg=TYPICAL_HANGING_DEG, fall_in_a_day_deg=40.0,
            reserve_h=36.0, chronograph=False, calendar=False, automatic=False,
        )  # fmt: skip
    sheet = shipped_sheet(name)
    why = "the season"
    lying = sheet.measured("nominal.lying_full_deg", why).value
    return Calibre(
        beats_per_hour=sheet.whole("beats_per_hour", why),
        lift_angle_deg=sheet.measured("lift_angle_deg", why).value,
        lying_deg=lying,
        hanging_deg=sheet.measured("nominal.hanging_full_deg", why).value,
        fall_in_a_day_deg=lying - sheet.measured("nominal.lying_24h_deg", why).value,
        reserve_h=sheet.measured("nominal.power_reserve_h", why).value,
        chronograph=sheet.chronograph is not None,
        calendar=sheet.calendar is not None,
        automatic=sheet.automatic is not None,
        sheet=sheet,
    )
