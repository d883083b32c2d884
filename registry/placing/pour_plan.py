"""The plan of a placing day: order and limits of the loads, when each comes, when to stop (N35).

Loads fill the strips one after another, as the crew goes. The hourly forecast says when
evaporation passes the limit; between two hours it is taken to run straight. Nothing may still lie
bare then: the last load has to be covered before. A forecast is a guide; the meter at the surface
on the day decides, and so do contract and mix supplier.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from registry.instants import elapsed_seconds
from registry.placing.evaporation import DryingLimit, DryingWeather, Evaporation, evaporation
from registry.placing.faults import NotGiven, PlacingError
from registry.placing.spacing import Placing


@dataclass(frozen=True)
class Strip:
    """A stretch of lane to be placed in one go, metres up from the datum line."""

    lane: str
    from_m: float
    to_m: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.from_m + self.to_m) and self.to_m > self.from_m):
            raise PlacingError(f"Lane {self.lane}: “to” lies beyond “from”.")


@dataclass(frozen=True)
class ForecastHour:
    """What is foretold for one aware instant, the concrete's own temperature as agreed."""

    at: datetime
    weather: DryingWeather


@dataclass(frozen=True)
class PlannedLoad:
    """One load of the plan.

    discharge_at, placed_at  begin and end of its placing;  covered_by  its last foot covered
    strips                   where it goes, in order
    m3                       to order; the last one may be a part load
    """

    number: int
    m3: float
    discharge_at: datetime
    placed_at: datetime
    covered_by: datetime
    strips: tuple[Strip, ...]


@dataclass(frozen=True)
class PourPlan:
    """The loads, and the limits of the day.

    passes_at     when forecast evaporation first passes the limit; a reason where it does not
    latest_start  the last moment to begin the first load so that all are covered by then
    stop_at       after this no further load is begun
    late          numbers of the loads of this plan that begin after stop_at
    """

    loads: tuple[PlannedLoad, ...]
    passes_at: datetime | NotGiven
    latest_start: datetime | NotGiven
    stop_at: datetime | NotGiven
    late: tuple[int, ...]

    @property
    def stop_words(self) -> str:
        """ "After 09:20 no further load.", or why there is no such rule."""
        if isinstance(self.stop_at, NotGiven):
            return self.stop_at.reason
        return f"After {self.stop_at:%H:%M} no further load."


def pour_plan(
    strips: Sequence[Strip],
    placing: Placing,
    start_at: datetime,
    *,
    cover_min: float,
    forecast: Sequence[ForecastHour],
    limit: DryingLimit,
) -> PourPlan:
    """Plan C1 of one day.

    strips     in the order in which they are placed
    start_at   begin of the first load, aware, in the site's time zone
    cover_min  minutes from discharge to cover that the crew keeps
    Raises PlacingError without a strip, or on a cover time below 0.
    """
    if not strips:
        raise PlacingError("Say which lanes are placed, and from where to where.")
    if not (math.isfinite(cover_min) and cover_min >= 0):
        raise PlacingError("The time to cover is 0 minutes or more.")
    loads = tuple(_loads(strips, placing, start_at, cover_min))
    passes_at = when_passes(forecast, limit)
    if isinstance(passes_at, NotGiven):
        return PourPlan(loads, passes_at, passes_at, passes_at, ())
    whole_s = elapsed_seconds(start_at, loads[-1].covered_by)
    one_load = timedelta(minutes=placing.spacing_min + cover_min)
    stop_at = _shifted(passes_at, -one_load)
    late = tuple(x.number for x in loads if elapsed_seconds(stop_at, x.discharge_at) > 0)
    return PourPlan(
        loads, passes_at, _shifted(passes_at, timedelta(seconds=-whole_s)), stop_at, late
    )


def when_passes(forecast: Sequence[ForecastHour], limit: DryingLimit) -> datetime | NotGiven:
    """The first instant at which forecast evaporation lies over the limit."""
    in_order = sorted(forecast, key=lambda hour: hour.at)
    if not in_order:
        return NotGiven("There is no forecast, so there is no latest start.")
    values = []
    for hour in in_order:
        found = evaporation(hour.weather)
        if isinstance(found, NotGiven):
            return NotGiven(f"Forecast for {hour.at:%H:%M}: {found.reason}")
        values.append((hour.at, _over(found, limit)))
    if values[0][1] > 0:
        return values[0][0]
    for (before, low), (after, high) in itertools.pairwise(values):
        if high > 0:
            part = -low / (high - low)
            return _shifted(before, timedelta(seconds=part * elapsed_seconds(before, after)))
    last = in_order[-1].at
    return NotGiven(f"Evaporation stays within the limit for {limit.name} until {last:%H:%M}.")


def _over(found: Evaporation, limit: DryingLimit) -> float:
    return found.value - limit.in_form(found.form)


def _loads(
    strips: Sequence[Strip], placing: Placing, start_at: datetime, cover_min: float
) -> list[PlannedLoad]:
    loads: list[PlannedLoad] = []
    left, begun_m = list(strips), 0.0
    while left:
        taken, left = _fill(left, placing.covers_m)
        length = math.fsum(one.to_m - one.from_m for one in taken)
        discharge_at = _shifted(start_at, timedelta(minutes=placing.minutes_for(begun_m)))
        begun_m += length
        placed_at = _shifted(start_at, timedelta(minutes=placing.minutes_for(begun_m)))
        loads.append(
            PlannedLoad(
                len(loads) + 1,
                placing.load_m3 * min(length / placing.covers_m, 1.0),
                discharge_at,
                placed_at,
                _shifted(placed_at, timedelta(minutes=cover_min)),
                tuple(taken),
            )
        )
    return loads


def _fill(strips: list[Strip], covers_m: float) -> tuple[list[Strip], list[Strip]]:
    """What one load fills, and what is left."""
    taken, room = [], covers_m
    for n, one in enumerate(strips):
        length = one.to_m - one.from_m
        if length > room + 1e-6:
            if room > 1e-6:
                taken.append(Strip(one.lane, one.from_m, one.from_m + room))
            rest = Strip(one.lane, one.from_m + max(room, 0.0), one.to_m)
            return taken, [rest, *strips[n + 1 :]]
        taken.append(one)
        room -= length
    return taken, []


def _shifted(at: datetime, by: timedelta) -> datetime:
    """An instant later by elapsed time, still shown by the site's clock."""
    zone = at.tzinfo
    if zone is None:
        raise PlacingError("A plan needs the time zone of the site.")
    return datetime.fromtimestamp(at.timestamp() + by.total_seconds(), zone)
