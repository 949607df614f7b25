"""Fifteen days of daily rates: a point with its interval for each, the mean in brass."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from sideshake.drawings.axes import round_step
from sideshake.drawings.shapes import (
    Anchor,
    Circle,
    Drawing,
    DrawnLine,
    Fill,
    Point,
    Shape,
    ShapeRole,
    Text,
)
from sideshake.timing.daily_rates.criteria import NOTICE, Run
from sideshake.timing.daily_rates.rules import PLAN, RULES, TEN, MovementSize

WIDTH, HEIGHT = 190.0, 112.0
LEFT, RIGHT, BOTTOM, TOP = 18.0, 182.0, 22.0, 84.0
NOTE, DOT, CAP = 3.2, 1.1, 1.2
LEAST_RANGE = (-6.0, 8.0)
MEAN = next(rule for rule in RULES if rule.key == "mean")


@dataclass(frozen=True, slots=True, kw_only=True)
class RatesSheet:
    """Where a day and a rate lie on paper."""

    low: float
    high: float

    def at(self, day: float, rate: float) -> Point:
        """Return the point of paper for a day (its middle) and a rate."""
        across = (day - 0.5) / len(PLAN)
        up = (rate - self.low) / (self.high - self.low)
        return (LEFT + across * (RIGHT - LEFT), BOTTOM + up * (TOP - BOTTOM))

    @property
    def step(self) -> float:
        """Return the step between figures."""
        return round_step(self.high - self.low)


def daily_rates_drawing(runs: Sequence[Run], size: MovementSize) -> Drawing:
    """Return the daily rates that are there, and the limits of their mean."""
    sheet = sheet_for(runs)
    title = "Daily rates, seconds a day"
    shapes: list[Shape] = [
        Text(at=(10, HEIGHT - 11), words=title, height=5.4, heading=True),
        *rate_axis(sheet),
        *position_heads(),
        *mean_limits(sheet, size),
        *mean_line(sheet, runs),
    ]
    for run in runs:
        shapes += day_mark(sheet, run)
    shapes.append(Text(at=(10, 6), words=f"Whiskers: 95 % interval. {NOTICE}", height=NOTE))
    told = ", ".join(f"day {run.day} {run.rate_s_per_day.text(sign=True)}" for run in runs)
    return Drawing(
        title=title, width=WIDTH, height=HEIGHT, shapes=tuple(shapes),
        description=told or "no day yet",
    )  # fmt: skip


def sheet_for(runs: Sequence[Run]) -> RatesSheet:
    """Return the sheet on which all rates with their intervals find room."""
    rates = [run.rate_s_per_day for run in runs]
    low = min([LEAST_RANGE[0], *(rate.value - rate.expanded for rate in rates)])
    high = max([LEAST_RANGE[1], *(rate.value + rate.expanded for rate in rates)])
    step = round_step(high - low)
    return RatesSheet(low=math.floor(low / step) * step, high=math.ceil(high / step) * step)


def rate_axis(sheet: RatesSheet) -> Iterator[Shape]:
    """Yield a fine rule and a figure at each step, and a full line at nought."""
    count = round((sheet.high - sheet.low) / sheet.step)
    for number in range(count + 1):
        rate = sheet.low + number * sheet.step
        y = sheet.at(1, rate)[1]
        role = ShapeRole.DIMENSION if abs(rate) < sheet.step / 2 else ShapeRole.FINE
        yield DrawnLine(start=(LEFT, y), end=(RIGHT, y), role=role)
        words = f"{rate:+g}".replace("-", "−") if role is ShapeRole.FINE else "0"
        yield Text(at=(LEFT - 2, y - 1.1), words=words, height=NOTE, anchor=Anchor.END)


def position_heads() -> Iterator[Shape]:
    """Yield the days below, and above them how the watch lies and how warm it is."""
    edge = (RIGHT - LEFT) / len(PLAN)
    for day in PLAN:
        x = LEFT + (day.number - 0.5) * edge
        words = str(day.number)
        yield Text(at=(x, BOTTOM - 6), words=words, height=NOTE, anchor=Anchor.MIDDLE)
    for (position, warm), days in groupby(PLAN, key=lambda day: (day.position, day.temperature_c)):
        numbers = [day.number for day in days]
        start, end = LEFT + (numbers[0] - 1) * edge, LEFT + numbers[-1] * edge
        middle = (start + end) / 2
        yield DrawnLine(start=(end, BOTTOM), end=(end, TOP + 11), role=ShapeRole.FINE)
        yield Text(
            at=(middle, TOP + 7), words=position, height=4.0, anchor=Anchor.MIDDLE, heading=True
        )
        yield Text(at=(middle, TOP + 2.4), words=f"{warm} °C", height=2.83, anchor=Anchor.MIDDLE)


def mean_limits(sheet: RatesSheet, size: MovementSize) -> Iterator[Shape]:
    """Yield the two limits of the mean of days 1 to 10."""
    limits = MEAN.limits[size]
    for rate in (limits.low, limits.high):
        start, end = sheet.at(0.5, rate), sheet.at(TEN[-1] + 0.5, rate)
        yield DrawnLine(start=start, end=end, role=ShapeRole.HIDDEN)
    x, y = sheet.at(0.5, limits.high)
    words = f"limits of the mean: {limits.text}"
    yield Text(at=(x + 1, y + 1), words=words, height=2.83)


def mean_line(sheet: RatesSheet, runs: Sequence[Run]) -> Iterator[Shape]:
    """Yield the mean of the days 1 to 10 that are there."""
    rates = [run.rate_s_per_day.value for run in runs if run.day in TEN]
    if len(rates) > 1:
        mean = sum(rates) / len(rates)
        x, y = sheet.at(10.5, mean)
        yield DrawnLine(start=sheet.at(0.5, mean), end=(x, y), role=ShapeRole.ACCENT)
        words = f"mean {mean:+.1f}".replace("-", "−")
        yield Text(at=(x + 1, y + 0.8), words=words, height=2.83, role=ShapeRole.ACCENT)


def day_mark(sheet: RatesSheet, run: Run) -> Iterator[Shape]:
    """Yield the point of a day with its whisker."""
    rate = run.rate_s_per_day
    if rate.u:
        ends = [sheet.at(run.day, rate.value + side * rate.expanded) for side in (-1, 1)]
        yield DrawnLine(start=ends[0], end=ends[1], role=ShapeRole.DIMENSION)
        for x, y in ends:
            yield DrawnLine(start=(x - CAP, y), end=(x + CAP, y), role=ShapeRole.DIMENSION)
    yield Circle(centre=sheet.at(run.day, rate.value), radius=DOT, fill=Fill.INK)
