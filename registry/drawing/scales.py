"""Axes of a chart: a log scale for rates and a calendar scale for days, with their ticks."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from registry.drawing.primitives import Point

_STEPS = (1, 2, 5)


@dataclass(frozen=True)
class LogScale:
    """Values to heights: `low` at `foot_mm`, `high` at `top_mm` (y runs down)."""

    low: float
    high: float
    top_mm: float
    foot_mm: float

    def at(self, value: float) -> float:
        """y of a value, mm; values beyond the ends lie on them."""
        share = math.log(value / self.low) / math.log(self.high / self.low)
        share = min(max(share, 0.0), 1.0)
        return self.foot_mm - share * (self.foot_mm - self.top_mm)

    def along(self, values: Sequence[float]) -> list[float]:
        """y of each value of a long curve, as `at`."""
        shares = np.log(np.array(values) / self.low) / math.log(self.high / self.low)
        found: list[float] = (
            self.foot_mm - shares.clip(0.0, 1.0) * (self.foot_mm - self.top_mm)
        ).tolist()
        return found

    def ticks(self, least_mm: float) -> list[float]:
        """1-2-5 values, or whole decades where those would stand nearer than `least_mm`."""
        first, last = math.floor(math.log10(self.low)), math.ceil(math.log10(self.high))
        decade_mm = (self.foot_mm - self.top_mm) / math.log10(self.high / self.low)
        steps = _STEPS if 0.30 * decade_mm >= least_mm else (1,)
        values = (step * 10.0**power for power in range(first, last + 1) for step in steps)
        slack = 1e-9
        return [value for value in values if self.low - slack <= value <= self.high + slack]


def log_range(values: Sequence[float]) -> Point:
    """Round ends that hold all values with a little air, at least one decade apart."""
    low, high = min(values) / 1.25, max(values) * 1.25
    while high / low < 10:
        low, high = low / 1.2, high * 1.2
    return (_round(low, up=False), _round(high, up=True))


def _round(value: float, *, up: bool) -> float:
    """The next 1, 2 or 5 times a power of ten, outward."""
    power = math.floor(math.log10(value))
    ends = [step * 10.0**place for place in (power, power + 1) for step in _STEPS]
    if up:
        return min(end for end in ends if end >= value * (1 - 1e-12))
    return max(end for end in ends if end <= value * (1 + 1e-12))


@dataclass(frozen=True)
class DayScale:
    """Days to x, mm."""

    first: date
    last: date
    left_mm: float
    right_mm: float

    def at(self, day: date) -> float:
        share = (day - self.first).days / (self.last - self.first).days
        return self.left_mm + share * (self.right_mm - self.left_mm)

    def shows(self, day: date) -> bool:
        return self.first <= day <= self.last

    def ticks(self, least_mm: float) -> list[tuple[date, str]]:
        """Starts of years, or of months on a short scale, at least `least_mm` apart."""
        days = (self.last - self.first).days
        per_day = (self.right_mm - self.left_mm) / days
        if days > 900:
            step = next(step for step in (1, 2, 5, 10, 20) if step * 365 * per_day >= least_mm)
            years = range(self.first.year, self.last.year + 2)
            ticks = [(date(year, 1, 1), str(year)) for year in years if year % step == 0]
        else:
            months = next(step for step in (1, 2, 3, 6, 12, 24) if step * 30 * per_day >= least_mm)
            ticks = [
                (date(year, month, 1), f"{year}-{month:02d}")
                for year in range(self.first.year, self.last.year + 1)
                for month in range(1, 13)
                if (year * 12 + month - 1) % months == 0
            ]
        return [(day, text) for day, text in ticks if self.shows(day)]


def day_range(days: Sequence[date]) -> tuple[date, date]:
    """First and last day with a little air, at least a year apart."""
    first, last = min(days), max(days)
    spare = max(timedelta(days=20), (last - first) * 0.03)
    first, last = first - spare, last + spare
    short = timedelta(days=365) - (last - first)
    if short > timedelta(0):
        first -= short
    return (first, last)
