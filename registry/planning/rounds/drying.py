"""When a surface is not dry yet: from the first hour of a wet day to so many hours after its rain.

How many an order asks (`Needs.dry_h`). Where the hour at which the rain ends is
not known, the wet day itself is all that is kept off; whoever asks is told so.
"""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from registry.planning.rounds.hours import DAY, ClockSpan, Instants, instants_of, join
from registry.planning.rounds.problem import DayWeather

MIDNIGHT = time(0)


def wet_spans(
    weather: Mapping[date, DayWeather], zone: ZoneInfo, dry_h: float
) -> tuple[Instants, ...]:
    """Return the spans in which nothing is dry, in UTC and in order; `dry_h` hours after rain."""
    wet = ((on, day.rain_ends) for on, day in weather.items() if day.wet)
    return tuple(join(_wet(on, rain_ends, zone, dry_h) for on, rain_ends in wet))


def _wet(on: date, rain_ends: time | None, zone: ZoneInfo, dry_h: float) -> Instants:
    begins, midnight = instants_of(ClockSpan(MIDNIGHT, MIDNIGHT), on, zone)
    if rain_ends is None:
        return begins, midnight
    ends = (
        begins
        if rain_ends == MIDNIGHT
        else instants_of(ClockSpan(MIDNIGHT, rain_ends), on, zone)[1]
    )
    return begins, max(midnight, ends + timedelta(hours=dry_h))


def dry_within(within: Instants, wet: Iterable[Instants]) -> tuple[Instants, ...]:
    """Return what of a span is dry."""
    found, begins = [], within[0]
    for opens, closes in wet:
        if begins < opens:
            found.append((begins, min(opens, within[1])))
        begins = max(begins, closes)
    if begins < within[1]:
        found.append((begins, within[1]))
    return tuple((a, b) for a, b in found if a < b)


def dry_from(at: datetime, wet: Iterable[Instants]) -> datetime | None:
    """Return when it is dry again, None where it is so at the instant."""
    return next((closes for opens, closes in wet if opens <= at < closes), None)


def is_never_dry(on: date, wet: Iterable[Instants], zone: ZoneInfo) -> bool:
    """Say whether no hour of a day and of the night after it is dry."""
    begins = instants_of(ClockSpan(MIDNIGHT, MIDNIGHT), on, zone)[0]
    ends = instants_of(ClockSpan(MIDNIGHT, MIDNIGHT), on + DAY, zone)[0]
    return not dry_within((begins, ends), wet)
